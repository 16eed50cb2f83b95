"""ZIP files put together by hand (APPNOTE 6.3), so that each part can be wrong."""

from __future__ import annotations

import hashlib
import struct
import zlib
from dataclasses import dataclass, field

from tests.intake.sheetfile.pdfs import GOOD, Sheet

UTF8 = 1 << 11


@dataclass
class Member:
    """A file in a ZIP file; what is None is as it should be.

    Args:
        name: Path, or the bytes of one.
        content: Unpacked.
        method: 0 stored, 8 deflated.
        flags: General purpose bits.
        mode: Unix mode, with the kind of file.
        data: The packed bytes.
        size: What the list says.
        own_size: What its head says.
        own_name: What its head says.
        crc: Checksum.
        at: The place that the list gives for it.
    """

    name: str | bytes
    content: bytes = b""
    method: int = 8
    flags: int = UTF8
    mode: int = 0o100644
    data: bytes | None = None
    size: int | None = None
    own_size: int | None = None
    own_name: bytes | None = None
    crc: int | None = None
    at: int | None = None

    @property
    def raw(self) -> bytes:
        return self.name if isinstance(self.name, bytes) else self.name.encode()


def zipped(members: list[Member], before: bytes = b"", comment: bytes = b"", **end: int) -> bytes:
    out = bytearray(before)
    listed = bytearray()
    for member in members:
        data = member.data
        if data is None:
            unit = zlib.compressobj(9, wbits=-zlib.MAX_WBITS)
            data = unit.compress(member.content) + unit.flush()
            data = data if member.method == 8 else member.content
        crc = zlib.crc32(member.content) if member.crc is None else member.crc
        size = len(member.content) if member.size is None else member.size
        own_size = size if member.own_size is None else member.own_size
        own_name = member.raw if member.own_name is None else member.own_name
        head = (20, member.flags, member.method, 0, 0x21)
        start = len(out)
        out += struct.pack(
            "<4s5H3L2H", b"PK\3\4", *head, crc, len(data), own_size, len(own_name), 0
        )
        out += own_name + data
        place = start if member.at is None else member.at
        listed += struct.pack(
            "<4s6H3L5H2L",
            *(b"PK\1\2", 3 << 8 | 20, *head, crc, len(data), size),
            *(len(member.raw), 0, 0, 0, 0, member.mode << 16, place),
        )
        listed += member.raw
    count = end.get("count", len(members))
    offset = end.get("offset", len(out))
    tail = (b"PK\5\6", end.get("disk", 0), 0, count, count, len(listed), offset, len(comment))
    return bytes(out + listed + struct.pack("<4s4H2LH", *tail) + comment)


@dataclass
class Bundle:
    """A bundle whose parts can be changed before it is written.

    Args:
        pattern: The pattern's files.
        sheet: The PDF in it; None for none.
        notes: What else is in it, in the list of checksums; None for nothing.
        more: Further members, not in the list of checksums.
        sums: Whether there is a list of checksums.
        top: The folder that all of it lies in.
        changed: Name of a file -> what is written in its stead, its checksum being as before.
    """

    pattern: dict[str, bytes] = field(default_factory=lambda: dict(GOOD))
    sheet: bytes | None = field(default_factory=lambda: Sheet().written())
    notes: bytes | None = None
    more: list[Member] = field(default_factory=list)
    sums: bool = True
    top: str = ""
    changed: dict[str, bytes] = field(default_factory=dict)

    def members(self) -> list[Member]:
        files = {f"pattern/{name}": content for name, content in self.pattern.items()}
        if self.sheet is not None:
            files["sheets/seed-pouch-a4.pdf"] = self.sheet
        if self.notes is not None:
            files["notes/notes.md"] = self.notes
        lines = [f"{hashlib.sha256(files[name]).hexdigest()}  {name}\n" for name in sorted(files)]
        files |= self.changed
        if self.sums:
            files["SHA256SUMS"] = "".join(lines).encode()
        return [Member(self.top + name, content) for name, content in files.items()] + self.more

    def written(self) -> bytes:
        return zipped(self.members())
