"""Following the operators of a content stream (ISO 32000-1, annex A) to what they draw."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Protocol

import numpy as np

from tiler.pattern.affine import Affine
from tiler.pattern.errors import FileError
from tiler.proof.geometry import EVERYWHERE, Floats, mapped
from tiler.proof.ink import VISIBLE, Cover, Ink, Nib, Unseen, Use
from tiler.proof.marking import Marking
from tiler.proof.operands import senseless, take, take_list, take_name, take_pair
from tiler.proof.pen import Graphics, Pen
from tiler.proof.route import Route
from tiler.proof.runs import Run, gathered
from tiler.proof.tokens import Name, Operand, operations

#: Of all clips in force together; of areas painted in one stream.
_MOST_SIDES = 512
_MOST_COVERS = 50_000
_SQUARE = np.array([[[0, 0], [1, 0]], [[1, 0], [1, 1]], [[1, 1], [0, 1]], [[0, 1], [0, 0]]], float)


class Resources(Protocol):
    """What the names in a stream stand for."""

    def form(self, name: str) -> int | None:
        """Key of a form; None when the name is a picture."""

    def graphics(self, name: str) -> Graphics:
        """A named graphics pen."""

    def space(self, name: str) -> str:
        """The kind of a named colour space: ``gray``, ``rgb``, ``cmyk`` or ``other``."""

    def properties(self, name: str) -> dict[str, Operand]:
        """A named property list; an optional content group has its key under ``layer``."""


def read_ink(
    content: bytes,
    resources: Resources,
    *,
    window: Floats = EVERYWHERE,
    unseen: Unseen = VISIBLE,
) -> Ink:
    """Everything that a content stream draws.

    Args:
        content: The decoded stream.
        resources: What its names stand for.
        window: The clip that it starts with, in its own space.
        unseen: The graphics state that it starts with.

    Raises:
        FileError: The stream makes no sense.
    """
    return _Reader(resources, window, unseen).read(content)


class _Reader:
    def __init__(self, resources: Resources, window: Floats, unseen: Unseen) -> None:
        self.resources = resources
        self.pen = Pen(window, unseen)
        self.saved: list[Pen] = []
        self.marking = Marking()
        self.route = Route()
        self.runs: list[Run] = []
        self.nibs: dict[Nib, int] = {}
        self.uses: list[Use] = []
        self.covers: list[Cover] = []
        self.loose: set[str] = set()
        self.clip = False
        self.commands: dict[bytes, Callable[[list[Operand]], None]] = {
            b"q": self._save,
            b"Q": self._restore,
            b"cm": self._matrix,
            b"w": self._width,
            b"J": lambda o: self.pen.ends(int(take(o, 1)[0])),
            b"d": lambda o: self.pen.dash(take_list(o, -2)),
            b"gs": lambda o: self.pen.take_up(resources.graphics(take_name(o, -1))),
            b"G": lambda o: self.pen.colour(take(o, 1), "gray"),
            b"RG": lambda o: self.pen.colour(take(o, 3), "rgb"),
            b"K": lambda o: self.pen.colour(take(o, 4), "cmyk"),
            b"CS": lambda o: self.pen.colour((), resources.space(take_name(o, -1))),
            b"SC": lambda o: self.pen.colour(_numbers(o), self.pen.space),
            b"SCN": lambda o: self.pen.colour(_numbers(o), self.pen.space),
            b"g": lambda o: self.pen.fill_colour(take(o, 1), "gray"),
            b"rg": lambda o: self.pen.fill_colour(take(o, 3), "rgb"),
            b"k": lambda o: self.pen.fill_colour(take(o, 4), "cmyk"),
            b"cs": lambda o: self.pen.fill_colour((), resources.space(take_name(o, -1))),
            b"sc": lambda o: self.pen.fill_colour(_numbers(o), self.pen.fill_space),
            b"scn": lambda o: self.pen.fill_colour(_numbers(o), self.pen.fill_space),
            b"W": self._clip,
            b"W*": self._clip,
            b"S": lambda _: self._paint(stroke=True),
            b"s": lambda _: self._paint(stroke=True, close=True),
            b"f": lambda _: self._paint(fill=True),
            b"F": lambda _: self._paint(fill=True),
            b"f*": lambda _: self._paint(fill=True, even_odd=True),
            b"B": lambda _: self._paint(stroke=True, fill=True),
            b"B*": lambda _: self._paint(stroke=True, fill=True, even_odd=True),
            b"b": lambda _: self._paint(stroke=True, fill=True, close=True),
            b"b*": lambda _: self._paint(stroke=True, fill=True, close=True, even_odd=True),
            b"n": lambda _: self._paint(),
            b"BMC": lambda o: self.marking.begin(take_name(o, -1), {}),
            b"BDC": self._begin_with,
            b"EMC": lambda _: self.marking.end(),
            b"Do": self._use,
            b"BI": lambda _: self._picture(),
            b"sh": lambda _: self._cover("a shading", None),
            b"Tr": self._text_mode,
        }
        for word in (b"Tj", b"TJ", b"'", b'"'):
            self.commands[word] = lambda _: self._text()
        # Text and rendering hints: nothing that moves or hides a stroke.
        for word in (b"BT ET Tc Tw Tz TL Tf Ts Td TD Tm T* j M i ri MP DP BX EX d0 d1").split():
            self.commands[word] = lambda _: None
        self.text_clips = False

    def read(self, content: bytes) -> Ink:
        route = self.route
        for word, operands in operations(content):
            if word == b"l":
                route.line(*take(operands, 2))
            elif word == b"c":
                route.curve(*take(operands, 6))
            elif word == b"m":
                route.move(take_pair(operands))
            elif word == b"h":
                route.close()
            elif word == b"re":
                route.rectangle(*take(operands, 4))
            elif word == b"v":
                x2, y2, x3, y3 = take(operands, 4)
                route.curve(*route.here, x2, y2, x3, y3)
            elif word == b"y":
                x1, y1, x3, y3 = take(operands, 4)
                route.curve(x1, y1, x3, y3, x3, y3)
            elif word in self.commands:
                self.commands[word](operands)
            else:
                raise FileError(
                    f"the drawing command {word.decode('latin-1')[:20]!r} does not exist",
                    remedy="The file is damaged; publish it again.",
                )
        strokes = gathered(self.runs, route.flat[: route.first * 8], self.marking.marks)
        return Ink(
            strokes=strokes.points,
            mark=strokes.mark,
            unseen=strokes.unseen,
            nib=strokes.nib,
            nibs=tuple(self.nibs),
            marks=tuple(self.marking.marks),
            uses=tuple(self.uses),
            covers=tuple(self.covers),
            loose=frozenset(self.loose),
        )

    # Painting

    def _paint(
        self,
        *,
        stroke: bool = False,
        fill: bool = False,
        close: bool = False,
        even_odd: bool = False,
    ) -> None:
        route, pen = self.route, self.pen
        if close:
            route.close()
        if fill:
            self._cover("a filled area", mapped(route.sides(), pen.matrix), even_odd)
        mark, window, unseen = self.marking.now, pen.window, pen.unseen
        if self.clip:
            self._apply_clip()
        if stroke and route.count > route.first:
            nib = self.nibs.setdefault(pen.nib, len(self.nibs))
            self.runs.append(Run(route.first, route.count, pen.matrix, window, mark, unseen, nib))
        route.finish(stroked=stroke)

    def _cover(self, what: str, sides: Floats | None, even_odd: bool = False) -> None:
        self._paint_loose(what)
        pen = self.pen
        if not pen.fills or (sides is not None and not np.all(np.isfinite(sides))):
            return
        if len(self.covers) >= _MOST_COVERS:
            raise senseless("filled areas without end")
        time = len(self.covers) + len(self.uses)
        self.covers.append(Cover(sides, even_odd, pen.window, pen.dark, self.marking.now, time))

    def _picture(self) -> None:
        self._cover("a picture", mapped(_SQUARE, self.pen.matrix))

    def _clip(self, _: list[Operand]) -> None:
        self.clip = True

    def _apply_clip(self) -> None:
        self.clip = False
        window = self.route.window(self.pen.matrix)
        if window is None or len(self.pen.window) > _MOST_SIDES:
            self.pen.hide(Unseen.ODD_CLIP, True)
        else:
            self.pen.window = np.concatenate([self.pen.window, window])

    # Graphics state

    def _save(self, _: list[Operand]) -> None:
        self.saved.append(copy.copy(self.pen))

    def _restore(self, _: list[Operand]) -> None:
        if self.saved:
            self.pen = self.saved.pop()

    def _matrix(self, operands: list[Operand]) -> None:
        self.pen.matrix = Affine(*take(operands, 6)).then(self.pen.matrix)

    def _width(self, operands: list[Operand]) -> None:
        self.pen.width = take(operands, 1)[0]

    # Text and pictures

    def _text_mode(self, operands: list[Operand]) -> None:
        self.text_clips = take(operands, 1)[0] >= 4

    def _text(self) -> None:
        self._paint_loose("text")
        if self.text_clips:
            self.pen.hide(Unseen.ODD_CLIP, True)

    def _paint_loose(self, what: str) -> None:
        if not self.marking.furniture:
            self.loose.add(what)

    def _use(self, operands: list[Operand]) -> None:
        form = self.resources.form(take_name(operands, -1))
        if form is None:
            self._picture()
            return
        pen = self.pen
        # A form that is a group is painted with the transparency of areas.
        unseen = pen.unseen if pen.fills else pen.unseen | Unseen.CLEAR
        time = len(self.covers) + len(self.uses)
        self.uses.append(
            Use(form, pen.matrix, pen.window, self.marking.now, unseen, pen.width, pen.gap, time)
        )

    # Marked content

    def _begin_with(self, operands: list[Operand]) -> None:
        said = operands[-1] if operands else None
        if isinstance(said, Name):
            said = self.resources.properties(said)
        elif isinstance(said, dict):
            said.pop("layer", None)
        if not isinstance(said, dict):
            raise senseless("BDC")
        self.marking.begin(take_name(operands, -2), said)


def _numbers(operands: list[Operand]) -> list[float]:
    return [part for part in operands if type(part) is float]
