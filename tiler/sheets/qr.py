"""What a phone reads from a page (QR code, ISO/IEC 18004): an address, or the cutting notes."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern
from tiler.pattern.path import Path, rectangle
from tiler.sheets.drawing import Fill, Item, Words
from tiler.sheets.label import cut_words
from tiler.sheets.lettering import SMALL, evenly, leading_of
from tiler.sheets.words import say

#: Side of a module, millimetres. A picture of 150 dots to the inch has 4.7 dots for it; with 3 (a
#: module of 0.5 mm) half of the tilted and noisy ones were not read (tests/sheets/test_qr.py).
MODULE = 0.8
#: Empty modules on every side (ISO/IEC 18004, quiet zone).
QUIET = 4
#: Bytes that still fit version 15 with error correction M (ISO/IEC 18004, table of capacities).
MOST_BYTES = 412
#: The words below a code are no wider, millimetres: they stand within the calibration square.
_WIDEST = 78.0

#: Rows from the top, each from the left; true for a dark module.
Modules = tuple[tuple[bool, ...], ...]


def code_text(pattern: Pattern) -> str:
    """What the code of a pattern says: its address when the maker gives one, else what to cut."""
    return pattern.handover.address or cutting_notes(pattern)


def cutting_notes(pattern: Pattern) -> str:
    """Title, version, digest, and what to cut of each piece; whole lines, as many as fit."""
    head = pattern.title
    if pattern.version:
        head += ", " + say("start_version", version=pattern.version)
    text = f"{head} ({pattern.digest})"
    for piece in pattern.pieces:
        cuts = "; ".join(cut_words(cut) for cut in piece.cuts or (None,))
        longer = f"{text}\n{piece.name}: {cuts}"
        if len(longer.encode()) > MOST_BYTES - 4:
            return f"{text}\n…"
        text = longer
    return text


@cache
def qr_of(text: str) -> Modules:
    """The smallest code that says a text in UTF-8, error correction M, without its quiet zone."""
    from qrcode.constants import ERROR_CORRECT_M
    from qrcode.main import QRCode

    code: QRCode[object] = QRCode(error_correction=ERROR_CORRECT_M, border=0)
    code.add_data(text.encode())
    code.make(fit=True)
    return tuple(map(tuple, code.get_matrix()))


def side_of(text: str) -> float:
    """How wide and high the code of a text is, millimetres, its quiet zone included."""
    return (len(qr_of(text)) + 2 * QUIET) * MODULE


def draw_qr(pattern: Pattern, middle: Point) -> list[Item]:
    """The code of a pattern round a point of the page, with what it says, or what it is, below.

    The code takes a square of `side_of(code_text(pattern))`; the words stand outside it.
    """
    words = [say("qr")]
    if pattern.handover.address:
        words = [say("qr_address"), *evenly(pattern.handover.address, SMALL, _WIDEST)]
    return draw_code(code_text(pattern), middle, words)


def draw_code(text: str, middle: Point, words: Sequence[str] = ()) -> list[Item]:
    """The code of a text round a point, and lines of words below its quiet zone."""
    rows = qr_of(text)
    side = len(rows) * MODULE
    left, top = middle.x - side / 2, middle.y + side / 2
    bars: list[Path] = []
    for number, row in enumerate(rows):
        upper = top - number * MODULE
        for start, end in _runs(row):
            bars.append(
                rectangle(Bounds(left + start * MODULE, upper - MODULE, left + end * MODULE, upper))
            )
    level = middle.y - side_of(text) / 2 - 2.5
    lines = (
        Words(line, Point(middle.x, level - number * leading_of(SMALL)), SMALL, anchor="middle")
        for number, line in enumerate(words)
    )
    return [Fill(tuple(bars), 0.0), *lines]


def _runs(row: Sequence[bool]) -> list[tuple[int, int]]:
    """Stretches of dark modules in a row."""
    runs: list[tuple[int, int]] = []
    for column, dark in enumerate(row):
        if dark and runs and runs[-1][1] == column:
            runs[-1] = (runs[-1][0], column + 1)
        elif dark:
            runs.append((column, column + 1))
    return runs
