"""The typeface, its sizes, and how much room words take."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from functools import cache, lru_cache
from pathlib import Path

from tiler.pattern.units import PT_PER_MM

REGULAR = "BlocksheetSans"
BOLD = "BlocksheetSans-Bold"
_FILES = {REGULAR: "NotoSans-Regular.ttf", BOLD: "NotoSans-Bold.ttf"}

#: The type scale in points. Nothing on paper is smaller than SMALL; what is to be read at arm's
#: length, standing at the table, is READ or larger.
SMALL = 7.0
BODY = 9.0
READ = 10.0
LARGE = 12.0
HEAD = 16.0
TITLE = 24.0

#: Height of capitals and of the part below the baseline as a share of the type size
#: (read from the OS/2 table of Noto Sans: cap height 714, descender of lower case 240, of 1000).
CAPITALS = 0.714
BELOW = 0.24


@cache
def load_fonts() -> None:
    """Make the two faces known to reportlab (once)."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    for name, file in _FILES.items():
        pdfmetrics.registerFont(TTFont(name, str(Path(__file__).with_name("fonts") / file)))


@lru_cache(maxsize=20000)
def width_of(text: str, size_pt: float, *, bold: bool = False) -> float:
    """Millimetres that one line of text takes."""
    from reportlab.pdfbase import pdfmetrics

    load_fonts()
    return float(pdfmetrics.stringWidth(text, BOLD if bold else REGULAR, size_pt)) / PT_PER_MM


def height_of(size_pt: float) -> float:
    """Millimetres from the baseline to the top of capitals."""
    return size_pt * CAPITALS / PT_PER_MM


def depth_of(size_pt: float) -> float:
    """Millimetres from the baseline to the foot of letters such as g."""
    return size_pt * BELOW / PT_PER_MM


def leading_of(size_pt: float) -> float:
    """Millimetres from one baseline to the next."""
    return size_pt * 1.35 / PT_PER_MM


def wrapped(text: str, size_pt: float, width: float, *, bold: bool = False) -> list[str]:
    """The text broken at spaces into lines of at most `width` millimetres.

    A single word that is wider is broken where it must be.
    """
    lines: list[str] = []
    for word in text.split():
        for part in _parts(word, size_pt, width, bold):
            if lines and width_of(f"{lines[-1]} {part}", size_pt, bold=bold) <= width:
                lines[-1] += f" {part}"
            else:
                lines.append(part)
    return lines


def _parts(word: str, size_pt: float, width: float, bold: bool) -> Iterator[str]:
    """The word, or as many letters at a time as a line holds (one at the least)."""
    while len(word) > 1 and width_of(word, size_pt, bold=bold) > width:
        count = len(word) - 1
        while count > 1 and width_of(word[:count], size_pt, bold=bold) > width:
            count -= 1
        yield word[:count]
        word = word[count:]
    yield word


@lru_cache(maxsize=20000)
def evenly(text: str, size_pt: float, width: float, *, bold: bool = False) -> list[str]:
    """The text in as few lines of at most `width` millimetres as `wrapped`, of like length."""
    lines = wrapped(text, size_pt, width, bold=bold)
    # No narrower than the widest word, which would be broken.
    low = max((width_of(word, size_pt, bold=bold) for word in text.split()), default=0.0)
    high = width
    while high - low > 1.0:
        middle = (low + high) / 2
        tried = wrapped(text, size_pt, middle, bold=bold)
        wide = max(width_of(line, size_pt, bold=bold) for line in tried) > middle
        if len(tried) > len(lines) or wide:
            low = middle
        else:
            lines, high = tried, middle
    return lines


def shortened(text: str, size_pt: float, width: float, *, bold: bool = False) -> str:
    """The text, its end replaced by … when it is wider than `width` millimetres."""
    if width_of(text, size_pt, bold=bold) <= width:
        return text
    while text and width_of(text + "…", size_pt, bold=bold) > width:
        text = text[:-1]
    return text.rstrip() + "…"


def unprintable(text: str) -> str:
    """The characters of a text that the typeface has no letters for, or that run right to left."""
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    load_fonts()
    font = pdfmetrics.getFont(REGULAR)
    assert isinstance(font, TTFont)
    letters = font.face.charToGlyph
    return "".join(
        dict.fromkeys(
            char
            for char in text
            if ord(char) not in letters
            or unicodedata.category(char) == "Cf"
            or unicodedata.bidirectional(char) in ("R", "AL", "AN")
        )
    )
