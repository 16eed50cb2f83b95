"""The cutting notes as a QR code that a phone shows without a network (ISO/IEC 18004)."""

from __future__ import annotations

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern
from tiler.pattern.path import Path, rectangle
from tiler.sheets.drawing import Fill, Item, Words
from tiler.sheets.label import cut_words
from tiler.sheets.lettering import SMALL
from tiler.sheets.words import say

#: Side of a module, millimetres: 12 printer dots at 600 dpi (common practice, no source).
MODULE = 0.5
#: Empty modules on every side (ISO/IEC 18004, quiet zone).
QUIET = 4
#: Bytes that still fit version 15 with error correction M (ISO/IEC 18004, table of capacities).
MOST_BYTES = 412


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


def draw_qr(pattern: Pattern, middle: Point) -> list[Item]:
    """The code round a point of the page, with a line that says what it is."""
    from qrcode.constants import ERROR_CORRECT_M
    from qrcode.main import QRCode

    code: QRCode[object] = QRCode(error_correction=ERROR_CORRECT_M, border=0)
    code.add_data(cutting_notes(pattern).encode())
    code.make(fit=True)
    rows = code.get_matrix()
    side = len(rows) * MODULE
    left, top = middle.x - side / 2, middle.y + side / 2
    bars: list[Path] = []
    for number, row in enumerate(rows):
        upper = top - number * MODULE
        for start, end in _runs(row):
            bars.append(
                rectangle(Bounds(left + start * MODULE, upper - MODULE, left + end * MODULE, upper))
            )
    below = Point(middle.x, top - side - QUIET * MODULE - 2.5)
    return [Fill(tuple(bars), 0.0), Words(say("qr"), below, SMALL, anchor="middle")]


def _runs(row: list[bool]) -> list[tuple[int, int]]:
    """Stretches of dark modules in a row."""
    runs: list[tuple[int, int]] = []
    for column, dark in enumerate(row):
        if dark and runs and runs[-1][1] == column:
            runs[-1] = (runs[-1][0], column + 1)
        elif dark:
            runs.append((column, column + 1))
    return runs
