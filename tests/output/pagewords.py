"""Printed pages as somebody sees them who has nothing else: words and where they stand.

poppler's ``pdftotext -bbox`` reads the words; it shares no code with the writer of the pages. Of
the file nothing is taken but the look of each page: no labels, no order, no attachments.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from xml.etree import ElementTree

_BOX = ("xMin", "yMin", "xMax", "yMax")
_XHTML = "{http://www.w3.org/1999/xhtml}"
#: What the strip says: title, page, its count in the file, digest.
_STRIP = re.compile(r" · (?P<name>[^·]+ page|page [A-Z]+[0-9]+) · .* · (?P<digest>\w{4}-\w{4}) · ")
#: What a joint may say after its number. Written down here as a person reads it.
_SENTENCES = {
    "under": (r"(\w+) goes over here", r"do not cut, (\w+) goes over"),
    "over": (r"cut here, lay on (\w+)", r"do not cut, lay on (\w+)"),
    "either": (r"cut here, butt against (\w+)", r"([A-Z]+[0-9]+)"),
}
#: Most room between a number and its words, and between two words, points.
_AFTER_NUMBER, _BETWEEN = 7.0, 4.0
#: Words of one line have their middles this close to one line, points.
_LEVEL = 2.0
#: How much larger than its words a joint's number is printed: boxes of 12 pt and of 10 pt type.
_LARGER = (1.1, 1.3)


class Edge(Enum):
    """A side of a page, with the step to the page beyond it: columns, rows down."""

    LEFT = (-1, 0)
    RIGHT = (1, 0)
    TOP = (0, -1)
    BOTTOM = (0, 1)


@dataclass(frozen=True)
class Word:
    """A word and the box round it, points from the top left corner of the page."""

    text: str
    left: float
    top: float
    right: float
    bottom: float

    @property
    def middle(self) -> tuple[float, float]:
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2

    def stands_in_line_with(self, other: Word) -> bool:
        """Whether both are of one size on one level line."""
        return abs(self.top - other.top) < 1e-3 and abs(self.bottom - other.bottom) < 1e-3

    def across(self, upward: bool) -> float:
        """How high the type is, if that is the way it runs."""
        return self.right - self.left if upward else self.bottom - self.top


@dataclass(frozen=True)
class Saying:
    """What stands beside a joint: its number, the other page's name, and on which side it is.

    Args:
        lies: ``under`` or ``over`` where the words tell; ``either`` where they do not.
    """

    number: int
    neighbour: str
    edge: Edge
    lies: str


@dataclass(frozen=True)
class Sight:
    """A page as it lies on the table."""

    words: tuple[Word, ...]
    width: float
    height: float

    @property
    def text(self) -> str:
        """All its words; those of one line of the strip are in reading order."""
        return " ".join(word.text for word in self.words)

    @property
    def _strip(self) -> re.Match[str]:
        # Words of a piece may be cut off just below: those of the strip are of one size.
        for mark in self.words:
            if re.fullmatch(r"\w{4}-\w{4}", mark.text):
                line = [word for word in self.words if word.stands_in_line_with(mark)]
                line.sort(key=lambda word: word.left)
                found = _STRIP.search(" ".join(word.text for word in line))
                if found:
                    return found
        raise AssertionError(f"no strip on a page that begins with {self.text[:80]!r}")

    @property
    def digest(self) -> str:
        """Tells the pattern that the page is of."""
        return self._strip["digest"]

    @property
    def name(self) -> str:
        """Of a page that carries the pattern, such as ``C1``; empty for a front page."""
        name = self._strip["name"]
        return "" if name.endswith(" page") else name.removeprefix("page ")

    def sayings(self) -> Iterator[Saying]:
        """What stands beside each of its joints."""
        for number in self.words:
            if not number.text.isdigit():
                continue
            for upward in (False, True):
                found = _sentence(_line(number, self.words, upward))
                if found:
                    yield Saying(int(number.text), found[1], self._edge(number, upward), found[0])

    def _edge(self, word: Word, upward: bool) -> Edge:
        x, y = word.middle
        if upward:
            return Edge.LEFT if x < self.width / 2 else Edge.RIGHT
        return Edge.TOP if y < self.height / 2 else Edge.BOTTOM


def sights(pdf: bytes) -> list[Sight]:
    """The pages of a file, as they come out of the printer."""
    done = subprocess.run(
        ["pdftotext", "-bbox", "-", "-"], input=pdf, capture_output=True, check=True
    )
    pages = []
    for page in ElementTree.fromstring(done.stdout).iter(f"{_XHTML}page"):
        words = tuple(_word(word) for word in page.iter(f"{_XHTML}word"))
        pages.append(Sight(words, float(page.attrib["width"]), float(page.attrib["height"])))
    return pages


def running_texts(pdf: bytes) -> list[str]:
    """What each page says, line after line as it was written."""
    done = subprocess.run(
        ["pdftotext", "-raw", "-", "-"], input=pdf, capture_output=True, check=True
    )
    return [" ".join(page.split()) for page in done.stdout.decode().split("\f")[:-1]]


def _word(found: ElementTree.Element) -> Word:
    left, top, right, bottom = (float(found.attrib[key]) for key in _BOX)
    return Word(found.text or "", left, top, right, bottom)


def _line(number: Word, words: Sequence[Word], upward: bool) -> list[str]:
    """The words that follow a number in its line, read to the right or up the page."""
    line: list[Word] = [number]
    room = _AFTER_NUMBER
    while len(line) < 8:
        last = line[-1]
        near = [
            (_gap(last, word, upward), word)
            for word in words
            if abs(last.middle[not upward] - word.middle[not upward]) < _LEVEL
        ]
        near = [(gap, word) for gap, word in near if 0 < gap < room]
        if not near:
            break
        line.append(min(near, key=lambda each: each[0])[1])
        room = _BETWEEN
    high = [word.across(upward) for word in line]
    same = len(line)
    for place in range(1, len(line)):
        if abs(high[place] - high[1]) > 0.1:
            same = place
            break
    if same < 2 or not _LARGER[0] < high[0] / high[1] < _LARGER[1]:
        return []
    return [word.text for word in line[1:same]]


def _gap(first: Word, second: Word, upward: bool) -> float:
    return first.top - second.bottom if upward else second.left - first.right


def _sentence(line: Sequence[str]) -> tuple[str, str] | None:
    """How the page lies and its neighbour's name, from the longest words that say it."""
    for length in range(len(line), 0, -1):
        for lies, sentences in _SENTENCES.items():
            for sentence in sentences:
                found = re.fullmatch(sentence, " ".join(line[:length]))
                if found:
                    return lies, found[1]
    return None
