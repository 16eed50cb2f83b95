"""Files that nobody should open as they are, each with words of the sentence that says why."""

from __future__ import annotations

import io
import json
import zipfile
import zlib
from collections.abc import Callable, Iterator

import pikepdf

from tests.intake.sheetfile.pdfs import (
    FLAP,
    GOOD,
    PATTERN,
    Sheet,
    bomb,
    digest_of,
    packed,
    pdf,
    raw_bomb,
    stream,
    text,
)
from tests.intake.sheetfile.zips import Bundle, Member, zipped

Made = Callable[[], bytes]


def named(name: str) -> bytes:
    """A pattern whose drawing has this name, in a PDF."""
    return Sheet(files={"pattern.toml": PATTERN, name: FLAP}).written()


def several(*names: str) -> bytes:
    pieces = "".join(
        f'[[piece]]\nname = "P{number}"\ndrawing = {json.dumps(name)}\n'
        for number, name in enumerate(names)
    )
    toml = f'title = "Seed pouch"\n{pieces}'.encode()
    return Sheet(files={"pattern.toml": toml, **dict.fromkeys(names, FLAP)}).written()


def locked() -> bytes:
    document = pikepdf.open(io.BytesIO(Sheet().written()))
    out = io.BytesIO()
    document.save(out, encryption=pikepdf.Encryption(owner="marrow", user=""))
    return out.getvalue()


def cut(share: float, ending: bytes = b"") -> bytes:
    content = Sheet().written()
    return content[: int(len(content) * share)] + ending


def object_bomb() -> bytes:
    """The list of names lies in an object stream (7.5.7) that unpacks to 4 GiB."""
    head = b"/Type /ObjStm /N 1 /First 4 /Filter /FlateDecode"
    return _with_table_stream({100: stream(bomb(4096), head)}, {6: (2, 100, 0)})


def slow_list() -> bytes:
    """The list of names is an array of 4 million numbers, in an object stream."""
    numbers = b"[" + b"0 " * 2**19
    unit = zlib.compressobj(9, wbits=-zlib.MAX_WBITS)
    head = unit.compress(b"6 0 [ << /A ") + unit.flush(zlib.Z_FULL_FLUSH)
    block = unit.compress(numbers) + unit.flush(zlib.Z_FULL_FLUSH)
    deflated = b"\x78\xda" + head + block * 8 + b"\x03\x00" + bytes(4)
    said = b"/Type /ObjStm /N 1 /First 4 /Filter /FlateDecode"
    return _with_table_stream({100: stream(deflated, said)}, {6: (2, 100, 0)})


def endless_table() -> bytes:
    """A table of objects (7.5.8) that says that it has two thousand million entries."""
    return _with_table_stream({}, {}, index=b"/Index [0 2000000000]")


def _with_table_stream(
    more: dict[int, bytes], placed: dict[int, tuple[int, int, int]], index: bytes = b""
) -> bytes:
    sheet = Sheet()
    sheet.more = more
    content = sheet.written()
    body = content[: content.rindex(b"xref\n0 1")]
    places = {}
    for number in [*range(1, 7), *more, *range(1000, 1006)]:
        places[number] = (1, body.index(b"\n%d 0 obj" % number) + 1, 0)
    places |= placed
    rows = b"".join(
        a.to_bytes(1, "big") + b.to_bytes(4, "big") + c.to_bytes(2, "big")
        for a, b, c in places.values()
    )
    index = index or b"/Index [%s]" % b" ".join(b"%d 1" % number for number in places)
    table = stream(rows, b"/Type /XRef /Size 2000 /Root 1 0 R /W [1 4 2] " + index)
    return b"%s5000 0 obj\n%s\nendobj\nstartxref\n%d\n%%%%EOF\n" % (body, table, len(body))


def deep() -> bytes:
    return Sheet(root=b"/Deep " + b"[" * 200_000 + b"]" * 200_000).written()


def record(**said: object) -> bytes:
    return Sheet(record=json.dumps(said).encode()).written()


def pdf_of_others() -> bytes:
    """Somebody's invoice, with attachments of its own."""
    return Sheet(files={}, record=b"", extra=[("invoice.xml", b"<x/>", "Source")]).written()


def with_stream(made: bytes) -> bytes:
    return Sheet(streams={"flap.svg": made}).written()


NAMES = {
    "up a folder": ("../flap.svg", "leads out of its folder"),
    "up from within": ("a/../../flap.svg", "leads out of its folder"),
    "absolute": ("/etc/flap.svg", "leads out of its folder"),
    "drive": ("C:/flap.svg", "leads out of its folder"),
    "share": ("\\\\server\\flap.svg", "leads out of its folder"),
    "backslashes up": ("a\\..\\..\\flap.svg", "leads out of its folder"),
    "backslash": ("a\\flap.svg", "some systems do not allow"),
    "stream of a file": ("flap.svg:hidden", "some systems do not allow"),
    "wildcard": ("flap*.svg", "some systems do not allow"),
    "device": ("aux.svg", "name of a device"),
    "device with number": ("sub/Com¹.svg", "name of a device"),
    "dot at the end": ("flap.svg.", "some systems take away"),
    "blank at the end": ("flap.svg ", "some systems take away"),
    "nul": ("flap.svg\0.exe", "cannot be seen"),
    "line end": ("flap\n.svg", "cannot be seen"),
    "writing turned round": ("flap\u202egvs.exe", "cannot be seen"),
    "half a letter": ("flap\ud800.svg", "cannot be seen"),
    "nothing": ("sub//flap.svg", "no whole name"),
    "long": ("f" * 130 + ".svg", "too long"),
    "deep": ("a/" * 20 + "flap.svg", "too long"),
}

PDFS: dict[str, tuple[Made, str]] = {
    "case": (lambda: several("Flap.svg", "flap.svg"), "is the same as"),
    "accents": (lambda: several("fl\u00e4p.svg", "fla\u0308p.svg"), "is the same as"),
    "file and folder": (lambda: several("flap.svg", "flap.svg/b.svg"), "is the same as"),
    "file bomb": (lambda: with_stream(stream(bomb(4096), b"/Filter /FlateDecode")), "too large"),
    "bomb packed twice": (
        lambda: with_stream(stream(bomb(1), b"/Filter [/FlateDecode /FlateDecode]")),
        "unusual way",
    ),
    "another packing": (lambda: with_stream(stream(b"00>", b"/Filter /ASCIIHexDecode")), "unusual"),
    "predictor": (
        lambda: with_stream(
            stream(b"", b"/Filter /FlateDecode /DecodeParms << /Predictor 15 /Columns 9999999 >>")
        ),
        "unusual way",
    ),
    "file elsewhere": (lambda: with_stream(stream(b"", b"/F (/etc/passwd)")), "unusual way"),
    "file of no stream": (lambda: with_stream(b"(flap)"), "damaged"),
    "file cut short": (
        lambda: with_stream(stream(packed(FLAP)[60:80], b"/Filter /FlateDecode")),
        "damaged",
    ),
    "objects bomb": (object_bomb, "damaged"),
    "record bomb": (
        lambda: Sheet(
            streams={"blocksheet.json": stream(bomb(17), b"/Filter /FlateDecode")}
        ).written(),
        "too large",
    ),
    "endless table": (endless_table, "damaged"),
    "long list": (slow_list, "damaged"),
    "round tree": (lambda: Sheet(names=b"<< /Kids [6 0 R] >>").written(), "does not end"),
    "widening tree": (
        lambda: Sheet(names=b"<< /Kids [6 0 R 6 0 R 6 0 R 6 0 R] >>").written(),
        "does not end",
    ),
    "many files": (
        lambda: Sheet(names=b"<< /Names [%s] >>" % ((text("x") + b" 5 0 R ") * 5000)).written(),
        "more than 2,000 files",
    ),
    "deep catalogue": (deep, "damaged"),
    "no catalogue": (lambda: pdf({1: b"<< /Type /Nothing >>"}), "damaged"),
    "locked": (locked, "the PDF is locked"),
    "cut early": (lambda: cut(0.1), "cut short"),
    "cut late": (lambda: cut(0.95), "cut short"),
    "cut and mended": (lambda: cut(0.6, b"\n%%EOF\n"), "damaged"),
    "nothing in it": (lambda: b"", "empty"),
    "neither": (lambda: b"GIF89a" + bytes(100), "neither a PDF nor a ZIP"),
    "wrong digest": (lambda: record(title="Seed pouch", digest="0000-0000"), "record speaks of"),
    "wrong print": (lambda: Sheet(printed="0000-0000").written(), "its pages print"),
    "changed drawing": (
        lambda: Sheet(streams={"flap.svg": packed(FLAP.replace(b"130", b"131"))}).written(),
        "record speaks of",
    ),
    "record of nothing": (lambda: record(title="Seed pouch"), "which pattern"),
    "record of a list": (lambda: Sheet(record=b"[1]").written(), "which pattern"),
    "record no JSON": (lambda: Sheet(record=b"{").written(), "no JSON"),
    "record too deep": (lambda: Sheet(record=b"[" * 100_000).written(), "no JSON"),
    "calibration page": (lambda: record(kind="calibration page"), "calibration page"),
    "target cards": (lambda: record(kind="target cards"), "target cards"),
    "record of a later time": (
        lambda: record(title="Seed pouch", digest=digest_of(GOOD), format=999),
        "format 999",
    ),
    "record of a format that is none": (
        lambda: record(title="Seed pouch", digest=digest_of(GOOD), format=True),
        "in which format",
    ),
    "pattern kept": (lambda: Sheet(files={}).written(), "has kept that"),
    "others' PDF": (pdf_of_others, "no Blocksheet record"),
    "a file too many": (
        lambda: Sheet(extra=[("holiday.svg", FLAP, "Source")]).written(),
        "is no file of its pattern",
    ),
    "a program": (
        lambda: Sheet(files={**GOOD, "setup.exe": b"MZ"}).written(),
        "is no file of its pattern",
    ),
    "only a program": (
        lambda: Sheet(files={"setup.exe": b"MZ"}).written(),
        "is no file of its pattern",
    ),
    "a drawing missing": (
        lambda: Sheet(files={"pattern.toml": PATTERN}).written(),
        "'flap.svg' is missing",
    ),
    "twice": (lambda: Sheet(extra=[("flap.svg", FLAP, "Source")]).written(), "twice"),
    "two records": (lambda: Sheet(extra=[("blocksheet.json", b"{}", "Data")]).written(), "twice"),
    "pattern file too large": (
        lambda: Sheet(files={**GOOD, "pattern.toml": PATTERN + b"#" * 2**20}).written(),
        "larger than 1 MiB",
    ),
    "pattern file no text": (
        lambda: Sheet(files={**GOOD, "pattern.toml": b"\xff\xfe"}).written(),
        "not UTF-8",
    ),
}


def with_member(*more: Member) -> bytes:
    return Bundle(more=list(more)).written()


def again(member: Member, **changed: object) -> list[Member]:
    """The members of a bundle with one of them changed."""
    members = Bundle().members()
    for each in members:
        if each.name == member.name:
            for key, value in changed.items():
                setattr(each, key, value)
    return members


def inner_zip() -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as inner:
        inner.writestr("flap.svg", FLAP)
    return out.getvalue()


_FLAP = Member("pattern/flap.svg")
LINK, DEVICE, PIPE = 0o120777, 0o020666, 0o010666

ZIPS: dict[str, tuple[Made, str]] = {
    "up a folder": (lambda: with_member(Member("../flap.svg", FLAP)), "leads out"),
    "up from the pattern": (
        lambda: Bundle(pattern={**GOOD, "../../flap.svg": FLAP}).written(),
        "leads out",
    ),
    "absolute": (lambda: with_member(Member("/etc/cron.d/x", b"x")), "leads out"),
    "drive": (lambda: with_member(Member("D:x.svg", b"x")), "leads out"),
    "backslashes": (lambda: with_member(Member("..\\..\\x.svg", b"x")), "leads out"),
    "device name": (lambda: with_member(Member("pattern/NUL", b"x")), "name of a device"),
    "link": (lambda: with_member(Member("pattern/a", b"/etc/passwd", mode=LINK)), "link"),
    "device": (lambda: with_member(Member("pattern/a", b"", mode=DEVICE)), "neither a file"),
    "pipe": (lambda: with_member(Member("pattern/a", b"", mode=PIPE)), "neither a file"),
    "folder with content": (
        lambda: with_member(Member("pattern/a/", b"x", mode=0o040755)),
        "neither a file",
    ),
    "locked": (lambda: zipped(again(_FLAP, flags=1)), "the ZIP file is locked"),
    "another packing": (lambda: zipped(again(_FLAP, method=12, data=b"x")), "not every system"),
    "bomb that says so": (
        lambda: with_member(Member("pattern/b.svg", data=raw_bomb(1), size=3 * 2**30)),
        "more than 1024 MiB",
    ),
    "bomb that does not": (
        lambda: zipped(again(_FLAP, data=raw_bomb(600))),
        "larger than its list says",
    ),
    "many bombs": (
        lambda: with_member(*(Member(f"b{n}", data=b"x", size=2**29) for n in range(9))),
        "more than 1024 MiB",
    ),
    "says too much": (lambda: zipped(again(_FLAP, size=9999)), "not what its list says"),
    "two sizes": (lambda: zipped(again(_FLAP, own_size=7)), "not what its list says"),
    "two names": (lambda: zipped(again(_FLAP, own_name=b"pattern/flip.svg")), "not what its list"),
    "stored, two sizes": (
        lambda: zipped(again(_FLAP, method=0, data=FLAP, size=5, crc=0)),
        "not as large",
    ),
    "checksum": (lambda: zipped(again(_FLAP, crc=1)), "not what its list says"),
    "one place, two names": (
        lambda: zipped([Member("a", FLAP), Member("b", FLAP, at=0)]),
        "not what its list says",
    ),
    "quoted whole": (lambda: zipped(nested()), "lies over another"),
    "twice": (lambda: with_member(Member("pattern/flap.svg", FLAP)), "is there twice"),
    "case": (lambda: with_member(Member("pattern/FLAP.SVG", FLAP)), "is the same as"),
    "accents": (
        lambda: with_member(Member("\u00e4", b"x"), Member("a\u0308", b"y")),
        "is the same as",
    ),
    "many": (
        lambda: with_member(*(Member(f"n{n}", b"") for n in range(2001))),
        "more than 2,000 files",
    ),
    "several volumes": (lambda: zipped(Bundle().members(), disk=1), "several volumes"),
    "count": (lambda: zipped(Bundle().members(), count=1), "more than it says"),
    "count too many": (lambda: zipped(Bundle().members(), count=9), "ends too early"),
    "list elsewhere": (lambda: zipped(Bundle().members(), offset=5), "not where it should be"),
    "a program in front": (
        lambda: b"PK\3\4" + Bundle().written(),
        "not where it should be",
    ),
    "something behind": (lambda: Bundle().written() + b"more", "cut short"),
    "cut in half": (lambda: Bundle().written()[:900], "cut short"),
    "cut at the end": (lambda: Bundle().written()[:-3], "cut short"),
    "name no UTF-8": (lambda: with_member(Member(b"\xff\xfe", b"x")), "no UTF-8"),
    "no list": (lambda: Bundle(sums=False).written(), "no bundle"),
    "ordinary ZIP": (inner_zip, "no bundle"),
    "two lists": (lambda: with_member(Member("a/SHA256SUMS", b"")), "two SHA256SUMS"),
    "list of nothing": (
        lambda: zipped([Member("SHA256SUMS", b"hello\n")]),
        "SHA256SUMS cannot be read",
    ),
    "ZIP in ZIP": (
        lambda: Bundle(pattern={**GOOD, "more.zip": inner_zip()}).written(),
        "no file of its pattern",
    ),
    "changed drawing": (
        lambda: Bundle(changed={"pattern/flap.svg": FLAP + b" "}).written(),
        "was changed",
    ),
    "changed sheet": (
        lambda: Bundle(changed={"sheets/seed-pouch-a4.pdf": b"%PDF-"}).written(),
        "was changed",
    ),
    "changed with its checksum": (
        lambda: Bundle(pattern={**GOOD, "flap.svg": FLAP + b" "}).written(),
        "record speaks of",
    ),
    "slipped in": (
        lambda: with_member(Member("pattern/extra.svg", FLAP)),
        "not in its list of checksums",
    ),
    "notes missing": (
        lambda: zipped([m for m in Bundle(notes=b"Hem.").members() if m.name != "notes/notes.md"]),
        "'notes/notes.md' is missing",
    ),
    "sheet missing": (
        lambda: zipped([m for m in Bundle().members() if m.name != "sheets/seed-pouch-a4.pdf"]),
        "'sheets/seed-pouch-a4.pdf' is missing",
    ),
    "sheet of a later time": (
        lambda: Bundle(
            sheet=record(title="Seed pouch", digest=digest_of(GOOD), format=999)
        ).written(),
        "format 999",
    ),
    "sheet of something else": (lambda: Bundle(sheet=pdf_of_others()).written(), "no Blocksheet"),
    "sheet that is none": (lambda: Bundle(sheet=b"%PDF-1.7 %%EOF").written(), "damaged"),
    "no sheets": (lambda: Bundle(sheet=None).written(), "no sheets"),
    "pattern kept": (lambda: Bundle(pattern={}).written(), "has kept that"),
}


def nested() -> list[Member]:
    """A file whose bytes hold the whole of another file, head and all, which is listed too."""
    inner = zipped([Member("b", FLAP, method=0)])
    head = inner[: inner.index(b"PK\1\2")]
    return [Member("a", head, method=0), Member("b", FLAP, method=0, at=31)]


def all_files() -> Iterator[tuple[str, Made, str]]:
    for key, (name, words) in NAMES.items():
        yield f"PDF, name {key}", (lambda name=name: named(name)), words
    for key, (made, words) in PDFS.items():
        yield f"PDF, {key}", made, words
    for key, (made, words) in ZIPS.items():
        yield f"ZIP, {key}", made, words
