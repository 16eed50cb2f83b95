"""The strip below a picture: what its lines are, and words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tiler.intake.photo.model import Pixels
from tiler.output.capture.canvas import DARK, LIGHT, Canvas, Colour, face

#: Length of a line's sample and room between two samples, in sizes of type.
_LENGTH, _GAP = 3.4, 1.4


@dataclass(frozen=True)
class Sample:
    """A kind of line or mark in the legend.

    Args:
        name: In a word or two.
        colour: Of it.
        dash: As in `Canvas.line`.
        mark: line, ring or dot.
    """

    name: str
    colour: Colour
    dash: tuple[float, ...] = ()
    mark: str = "line"

    @property
    def length(self) -> float:
        """How much room it takes, in sizes of type."""
        return _LENGTH if self.mark == "line" else 1.0


def strip(canvas: Canvas, words: str, samples: Sequence[Sample]) -> Pixels:
    """A dark strip as wide as the picture.

    Args:
        canvas: The picture; its size of words and lines is taken.
        words: What is to be known, broken into lines where it must be.
        samples: What is drawn, in the order in which it is told.
    """
    size, width = canvas.text_px, canvas.size[0]
    pad = size * 0.7
    rows = _rows(samples, size, width - 2 * pad)
    lines = _lines(words, size, width - 2 * pad)
    leading = size * 1.5
    height = round(2 * pad + leading * (len(lines) + len(rows)) - (leading - size) / 2)
    board = _Board(np.full((height, width, 3), DARK, dtype=np.uint8), canvas.unit)
    level = pad + size / 2
    for line in lines:
        board.text.append((line, (pad, level), LIGHT, True))
        level += leading
    for row in rows:
        for sample, left in row:
            board.draw(sample, pad + left, level, size)
        level += leading
    return board.done(size)


class _Board(Canvas):
    """A canvas without a photo."""

    def __init__(self, pixels: Pixels, unit: float) -> None:
        self.pixels, self.unit, self.factor = pixels, unit, 1.0
        self._corner = np.zeros(2)
        self._taken = []
        self.text: list[tuple[str, tuple[float, float], Colour, bool]] = []

    def draw(self, sample: Sample, left: float, level: float, size: int) -> None:
        middle = np.array([[left + sample.length * size / 2, level]])
        if sample.mark == "ring":
            self.ring(middle, sample.colour, 3.0)
        elif sample.mark == "dot":
            self.dot(middle, sample.colour)
        else:
            ends = np.array([[left, level], [left + sample.length * size, level]])
            self.line(ends, sample.colour, dash=sample.dash)
        self.text.append((sample.name, (left + (sample.length + 0.5) * size, level), LIGHT, False))

    def done(self, size: int) -> Pixels:
        self._write(self.text)
        return self.pixels


def _rows(samples: Sequence[Sample], size: int, width: float) -> list[list[tuple[Sample, float]]]:
    """Samples side by side, as many as a row holds, with their left ends."""
    rows: list[list[tuple[Sample, float]]] = []
    left = np.inf
    for sample in samples:
        wide = (sample.length + 0.5 + _GAP) * size + face(size, False).getlength(sample.name)
        if left + wide - _GAP * size > width:
            rows.append([])
            left = 0.0
        rows[-1].append((sample, float(left)))
        left += wide
    return rows


def _lines(words: str, size: int, width: float) -> list[str]:
    lines: list[str] = []
    font = face(size, True)
    for word in words.split():
        if lines and font.getlength(f"{lines[-1]} {word}") <= width:
            lines[-1] += f" {word}"
        else:
            lines.append(word)
    return lines
