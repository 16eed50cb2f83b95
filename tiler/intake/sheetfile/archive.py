"""A ZIP file read by its list, with distrust: nothing is unpacked that the list does not bear out.

Written after PKWARE's APPNOTE 6.3 (the section of each record stands beside it). The standard
library's reader takes entries that lie over one another, and sizes that the list gives wrong.
"""

from __future__ import annotations

import stat
import struct
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NoReturn

from tiler.intake.files import MIB
from tiler.intake.sheetfile.inflating import RAW, TooMuchError, inflated
from tiler.intake.sheetfile.limits import BUNDLE_LIMIT, MOST_FILES, too_much
from tiler.intake.sheetfile.names import refuse_unsafe, shown
from tiler.pattern.errors import FileError

MAGIC = b"PK\x03\x04"
#: End of central directory record (4.3.16), entry of the central directory (4.3.12), and local
#: file header (4.3.7).
_END = struct.Struct("<4s4H2LH")
_ENTRY = struct.Struct("<4s6H3L5H2L")
_LOCAL = struct.Struct("<4s5H3L2H")
_MOST_COMMENT = 0xFFFF
#: General purpose bits (4.4.4): encrypted, sizes behind the data, strong encryption, UTF-8 names,
#: list encrypted.
_LOCKED, _LATER, _UTF8 = 1 | 1 << 6 | 1 << 13, 1 << 3, 1 << 11
_STORED, _DEFLATED = 0, 8
#: Systems whose attributes hold a Unix mode (4.4.2).
_UNIX = (3, 19)


@dataclass(frozen=True, slots=True)
class Entry:
    """A file in a ZIP file.

    Args:
        name: Path with forward slashes; a folder's ends with one.
        method: How it is packed (4.4.5).
        crc: Checksum of its content.
        packed: Bytes in the ZIP file.
        size: Bytes of its content.
        start: Where its packed bytes begin.
    """

    name: str
    method: int
    crc: int
    packed: int
    size: int
    start: int


class Archive:
    """The files of a ZIP file.

    Args:
        content: The ZIP file.

    Raises:
        FileError: It is cut short, damaged, locked or too large, or holds names that are unsafe,
            links, or files that lie over one another.
    """

    def __init__(self, content: bytes) -> None:
        self._content = content
        self._left = BUNDLE_LIMIT
        entries = _listed(content)
        refuse_unsafe(entry.name for entry in entries)
        if sum(entry.size for entry in entries) > BUNDLE_LIMIT:
            raise too_much(f"it unpacks to more than {BUNDLE_LIMIT // MIB} MiB")
        self.entries = {entry.name: entry for entry in entries}

    @property
    def files(self) -> list[str]:
        """The names of the files, folders left out."""
        return [name for name in self.entries if not name.endswith("/")]

    def read(self, name: str, limit: int) -> bytes:
        """The content of a file.

        Args:
            name: One of `files`.
            limit: The most bytes that it may have.

        Raises:
            FileError: It has more, or not those that the list says.
        """
        entry = self.entries[name]
        limit = min(limit, self._left)
        if entry.size > limit:
            raise too_much(f"{shown(name)} inside it is larger than {limit // MIB} MiB")
        packed = self._content[entry.start : entry.start + entry.packed]
        behind = b""
        try:
            content = packed
            if entry.method == _DEFLATED:
                content, behind = inflated(packed, entry.size, RAW)
        except TooMuchError:
            _damaged(f"{shown(name)} is larger than its list says")
        except ValueError as wrong:
            _damaged(f"{shown(name)}: {wrong}")
        if len(content) != entry.size or behind or zlib.crc32(content) != entry.crc:
            _damaged(f"{shown(name)} is not what its list says")
        self._left -= len(content)
        return content


def _listed(content: bytes) -> list[Entry]:
    """The entries of the central directory, each borne out by its own head."""
    end = _end_of(content)
    _, disk, first, here, count, length, offset, _ = _END.unpack_from(content, end)
    if disk or first or here != count:
        _damaged("it is one of several volumes")
    if count > MOST_FILES:
        raise too_much(f"it holds more than {MOST_FILES:,} files")
    if offset + length != end:
        # So it would be with 64-bit records as well, which a file of this size does not need.
        _damaged("its list of files is not where it should be")
    entries = []
    position = offset
    for _ in range(count):
        if position + _ENTRY.size > end:
            _damaged("its list of files ends too early")
        entry, position = _entry(content, position, offset)
        entries.append(entry)
    if position != end:
        _damaged("its list of files holds more than it says")
    _refuse_overlaps(entries)
    return [entry for _, entry in entries]


def _end_of(content: bytes) -> int:
    """Where the end record begins; its comment is the last thing in the file."""
    position = len(content)
    while True:
        position = content.rfind(
            b"PK\x05\x06", max(0, len(content) - _END.size - _MOST_COMMENT), position
        )
        if position < 0:
            raise FileError(
                "the ZIP file is cut short",
                remedy="Copy or download it again.",
            )
        if position + _END.size <= len(content):
            comment = _END.unpack_from(content, position)[-1]
            if position + _END.size + comment == len(content):
                return position


def _entry(content: bytes, position: int, until: int) -> tuple[tuple[int, Entry], int]:
    (
        mark, made, _, flags, method, _, _, crc, packed, size,
        name_length, extra, comment, disk, _, attributes, offset,
    ) = _ENTRY.unpack_from(content, position)  # fmt: skip
    if mark != b"PK\x01\x02" or disk:
        _damaged("its list of files cannot be read")
    position += _ENTRY.size
    raw = content[position : position + name_length]
    name = _name(raw, flags)
    if flags & _LOCKED:
        raise FileError("the ZIP file is locked", remedy="Make one without a password.")
    if method not in (_STORED, _DEFLATED):
        raise FileError(
            f"{shown(name)} inside it is packed in a way that not every system opens",
            remedy="Pack it again, with the ordinary way of ZIP files.",
        )
    if method == _STORED and packed != size:
        _damaged(f"{shown(name)} is not as large as its list says")
    _refuse_special(name, made >> 8, attributes >> 16, size)
    start = _start(content, offset, (raw, flags, method, crc, packed, size), name)
    if start + packed > until:
        _damaged(f"{shown(name)} ends behind the list of files")
    entry = Entry(name, method, crc, packed, size, start)
    return (offset, entry), position + name_length + extra + comment


def _start(
    content: bytes, offset: int, listed: tuple[bytes, int, int, int, int, int], name: str
) -> int:
    """Where a file's packed bytes begin, behind a head that says what the list says."""
    raw, flags, method, crc, packed, size = listed
    if offset + _LOCAL.size > len(content):
        _damaged(f"{shown(name)} is not where its list says")
    mark, _, own_flags, own_method, _, _, *sizes, name_length, extra = _LOCAL.unpack_from(
        content, offset
    )
    start: int = offset + _LOCAL.size + name_length + extra
    own_raw = content[offset + _LOCAL.size : offset + _LOCAL.size + name_length]
    said = [(crc, packed, size)] + ([(0, 0, 0)] if flags & _LATER else [])
    same = own_flags & (_LOCKED | _LATER | _UTF8) == flags & (_LOCKED | _LATER | _UTF8)
    if (
        mark != MAGIC
        or own_raw != raw
        or own_method != method
        or not same
        or tuple(sizes) not in said
    ):
        _damaged(f"{shown(name)} is not what its list says")
    return start


def _name(raw: bytes, flags: int) -> str:
    """The name in UTF-8 where the file says so (4.4.4, bit 11) or where it is; else in the old
    code of ZIP files (appendix D).
    """
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError:
        if flags & _UTF8:
            _damaged("a name in it is no UTF-8")
        return raw.decode("cp437")


def _refuse_special(name: str, system: int, mode: int, size: int) -> None:
    """Files and folders only: no links, devices or pipes."""
    kind = stat.S_IFMT(mode) if system in _UNIX else 0
    is_folder = name.endswith("/")
    if kind not in (0, stat.S_IFDIR if is_folder else stat.S_IFREG) or (is_folder and size):
        raise FileError(
            f"{shown(name)} inside it is neither a file nor a folder, but a link or the like",
            remedy="Nothing was written. Ask whoever gave you the file for another one.",
        )


def _refuse_overlaps(entries: Sequence[tuple[int, Entry]]) -> None:
    behind = 0
    for offset, entry in sorted(entries, key=lambda each: each[0]):
        if offset < behind:
            _damaged(f"{shown(entry.name)} lies over another file")
        behind = entry.start + entry.packed


def _damaged(told: str) -> NoReturn:
    raise FileError(
        f"the ZIP file is damaged ({told})", remedy="Nothing was written. Copy it again."
    )
