"""A first look at a file: is it ASCII DXF, whole, and of a size that a pattern can have?"""

from __future__ import annotations

import math
import re

from tiler.pattern.errors import DrawingError

MIB = 1024 * 1024
#: A pattern of fifty pieces takes less than 2 MiB.
SIZE_LIMIT = 16 * MIB
#: Entities, polyline vertices and table entries together.
ENTITY_LIMIT = 200_000
#: DXF keeps lines of text to 255 characters, MTEXT to 250 and the later formats to 2049.
LINE_LIMIT = 5000
#: No coordinate of a garment, in any unit that is read, is larger.
NUMBER_LIMIT = 1e7

_AS_ASCII = 'Save it again as ASCII DXF, release 12 or 13 ("DXF ASTM D6673").'
_OTHER = (
    (b"AutoCAD Binary DXF", "it is a binary DXF"),
    (b"AC10", "it is a DWG drawing"),
    (b"%PDF", "it is a PDF"),
    (b"PK", "it is a ZIP archive"),
    (b"\x1f\x8b", "it is compressed (gzip)"),
    (b"<", "it is XML or SVG"),
    (b"\x89PNG", "it is a picture"),
    (b"\xff\xd8\xff", "it is a picture"),
)
#: Group codes whose values are floating-point numbers. Source: DXF Reference, "Group Code Value
#: Types".
_FLOATS = ((10, 59), (110, 149), (210, 239), (460, 469), (1010, 1059))
#: Sections that hold what is drawn; a header may say 1e20 for "no extent yet".
_DRAWN = ("BLOCKS", "ENTITIES")
_NUMBER = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")


def scanned(content: bytes, name: str) -> str:
    """The text of a DXF file, checked tag by tag before any library sees it.

    Args:
        content: The file's bytes.
        name: The file's name, for messages.

    Raises:
        DrawingError: Empty, another kind of file, cut short, too large, or a tag that cannot be
            read, with its line.
    """
    if not content.strip():
        raise DrawingError("the file is empty", where=name, remedy="Save the drawing again.")
    if len(content) > SIZE_LIMIT:
        raise DrawingError(
            f"the file is larger than {SIZE_LIMIT // MIB} MiB",
            where=name,
            remedy="Take out what is not part of a piece, or split the style into several files.",
        )
    for start, kind in _OTHER:
        if content.startswith(start):
            raise DrawingError(f"this is not ASCII DXF: {kind}", where=name, remedy=_AS_ASCII)
    if b"\0" in content:
        raise DrawingError(
            "this is not ASCII DXF: it holds binary data", where=name, remedy=_AS_ASCII
        )
    text = _decoded(content)
    _check_tags(text, name)
    return text


def _decoded(content: bytes) -> str:
    """UTF-8 where it is that, else the code page that the header names, else Windows-1252."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        page = re.search(rb"\$DWGCODEPAGE\s+3\s+ANSI_(\d{3,5})\s", content[:20_000])
        try:
            text = content.decode(f"cp{page[1].decode()}" if page else "cp1252", "replace")
        except LookupError:
            text = content.decode("cp1252", "replace")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _check_tags(text: str, name: str) -> None:
    lines = text.split("\n")
    entities = 0
    section = before = ""
    for index in range(0, len(lines) - 1, 2):
        code = _code(lines[index], f"{name} line {index + 1}")
        value = lines[index + 1]
        where = f"{name} line {index + 2}"
        if len(value) > LINE_LIMIT:
            raise DrawingError(
                f"the line has {len(value)} characters", where=where, remedy=_AS_ASCII
            )
        if code == 2 and before == "SECTION":
            section = value.strip()
        before = value.strip() if code == 0 else ""
        if code == 0:
            entities += 1
            if value.strip() == "EOF":
                return
            if entities > ENTITY_LIMIT:
                raise DrawingError(
                    f"the file has more than {ENTITY_LIMIT} entities",
                    where=where,
                    remedy="Take out what is not part of a piece, or split it into several files.",
                )
        elif any(low <= code <= high for low, high in _FLOATS):
            _check_number(value.strip(), where, drawn=section in _DRAWN)
    last = len(text.rstrip().split("\n"))
    raise DrawingError(
        "the file breaks off: its end mark EOF is missing",
        where=f"{name} line {last}",
        remedy="Save or copy the file again.",
    )


def _code(line: str, where: str) -> int:
    code = line.strip()
    digits = code[1:] if code[:1] == "-" else code
    if not (digits.isascii() and digits.isdigit() and len(digits) <= 4):
        raise DrawingError(
            f"this is not ASCII DXF: a group code is expected, not {_shown(code)}",
            where=where,
            remedy=_AS_ASCII,
        )
    return int(code)


def _check_number(value: str, where: str, *, drawn: bool) -> None:
    if not _NUMBER.fullmatch(value) or not math.isfinite(number := _float(value)):
        raise DrawingError(f"{_shown(value)} is not a number", where=where, remedy=_AS_ASCII)
    if drawn and abs(number) > NUMBER_LIMIT:
        raise DrawingError(
            f"the number {_shown(value)} is beyond all garments",
            where=where,
            remedy="Draw at true size near the origin.",
        )


def _float(value: str) -> float:
    try:
        return float(value)
    except ValueError:
        return math.nan


def _shown(value: str) -> str:
    return repr(value if len(value) <= 30 else f"{value[:30]}…")
