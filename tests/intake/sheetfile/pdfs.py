"""PDF files put together by hand (ISO 32000-1, 7.5), so that each part can be wrong."""

from __future__ import annotations

import hashlib
import json
import zlib
from dataclasses import dataclass, field

PATTERN = b"""title = "Seed pouch"
maker = "Marrow Lane Allotment Society"
[[piece]]
name = "Flap"
drawing = "flap.svg"
cut = { count = 2, cloth = "main", lay = "copies" }
"""
FLAP = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200">'
    b'<path class="cut" d="M10 10 H110 V130 H10 Z"/></svg>\n'
)
GOOD = {"pattern.toml": PATTERN, "flap.svg": FLAP}


def digest_of(files: dict[str, bytes]) -> str:
    """Worked out anew: the first 32 bits of SHA-256 over name, length and content of each file."""
    total = hashlib.sha256()
    for name in sorted(files):
        total.update(b"%s\0%d\0" % (name.encode("utf-8", "surrogatepass"), len(files[name])))
        total.update(files[name])
    return f"{total.hexdigest()[:4]}-{total.hexdigest()[4:8]}"


def packed(content: bytes) -> bytes:
    return stream(zlib.compress(content), b"/Filter /FlateDecode")


def stream(content: bytes, entries: bytes = b"") -> bytes:
    return b"<< %s /Length %d >>\nstream\n%s\nendstream" % (entries, len(content), content)


def text(words: str) -> bytes:
    return b"<FEFF%s>" % words.encode("utf-16-be", "surrogatepass").hex().upper().encode()


@dataclass
class Sheet:
    """A published PDF with one page, all of whose parts can be changed before it is written.

    Args:
        files: The pattern's files.
        record: What the record says; None for the right one.
        printed: What the page prints.
        extra: Name, content and relation of further attachments.
        streams: Name of a file -> the stream object to write for it.
        names: The objects of the tree of names; empty for one that lists all files.
        root: More entries of the catalogue.
        more: Further objects, with numbers from 100.
    """

    files: dict[str, bytes] = field(default_factory=lambda: dict(GOOD))
    record: bytes | None = None
    printed: str = ""
    extra: list[tuple[str, bytes, str]] = field(default_factory=list)
    streams: dict[str, bytes] = field(default_factory=dict)
    names: bytes = b""
    root: bytes = b""
    more: dict[int, bytes] = field(default_factory=dict)

    def written(self) -> bytes:
        record = self.record
        if record is None:
            said = {"title": "Seed pouch", "digest": digest_of(self.files), "format": 3}
            record = json.dumps(said).encode()
        attached = [("blocksheet.json", record, "Data")] if record else []
        attached += [(name, content, "Source") for name, content in self.files.items()]
        attached += self.extra
        listed = b""
        objects = {
            2: b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
            3: b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 595 842] /Contents 4 0 R "
            b"/Resources << /Font << /F1 5 0 R >> >> >>",
            4: stream(b"BT /F1 12 Tf 50 50 Td (%s) Tj ET" % self.printed.encode()),
            5: b"<< /Type /Font /Subtype /Type1 /BaseFont /Helvetica >>",
        }
        for number, (name, content, relation) in enumerate(attached):
            spec, file = 1000 + 2 * number, 1001 + 2 * number
            objects[file] = self.streams.get(name) or packed(content)
            objects[spec] = (
                b"<< /Type /Filespec /F %s /UF %s /AFRelationship /%s /EF << /F %d 0 R >> >>"
                % (text(name), text(name), relation.encode(), file)
            )
            listed += b"%s %d 0 R " % (text(name), spec)
        names = self.names or b"<< /Names [%s] >>" % listed
        objects[6] = names
        objects[1] = b"<< /Type /Catalog /Pages 2 0 R /Names << /EmbeddedFiles 6 0 R >> %s >>" % (
            self.root
        )
        return pdf(objects | self.more)


def pdf(objects: dict[int, bytes]) -> bytes:
    """Objects, a table of where they are, and the trailer."""
    out = bytearray(b"%PDF-1.7\n")
    places = {}
    for number in sorted(objects):
        places[number] = len(out)
        out += b"%d 0 obj\n%s\nendobj\n" % (number, objects[number])
    table = len(out)
    out += b"xref\n0 1\n0000000000 65535 f \n"
    for number, place in places.items():
        out += b"%d 1\n%010d 00000 n \n" % (number, place)
    size = max(objects) + 1
    out += b"trailer\n<< /Size %d /Root 1 0 R >>\nstartxref\n%d\n%%%%EOF\n" % (size, table)
    return bytes(out)


def bomb(mib: int) -> bytes:
    """Deflated zeros (RFC 1950), made of one block again and again; its checksum is left out."""
    unit = zlib.compressobj(9, wbits=-zlib.MAX_WBITS)
    block = unit.compress(bytes(1024 * 1024)) + unit.flush(zlib.Z_FULL_FLUSH)
    return b"\x78\xda" + raw_bomb(mib, block) + b"\x00\x00\x00\x00"


def raw_bomb(mib: int, block: bytes = b"") -> bytes:
    """The same without head and checksum (RFC 1951)."""
    if not block:
        unit = zlib.compressobj(9, wbits=-zlib.MAX_WBITS)
        block = unit.compress(bytes(1024 * 1024)) + unit.flush(zlib.Z_FULL_FLUSH)
    return block * mib + b"\x03\x00"
