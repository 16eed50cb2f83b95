"""Following the operators of a content stream (ISO 32000-1, annex A) to what they draw."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import NamedTuple, Protocol

import numpy as np

from tiler.pattern.affine import Affine
from tiler.pattern.errors import FileError
from tiler.proof.geometry import (
    EVERYWHERE,
    Bools,
    Floats,
    grown_window,
    mapped,
    points_at,
    ring_window,
)
from tiler.proof.ink import VISIBLE, Ink, Mark, Unseen, Use
from tiler.proof.operands import senseless, take, take_list, take_name, take_pair, two, whole
from tiler.proof.pen import Graphics, Pen
from tiler.proof.tokens import Name, Operand, operations

_MOST_CLIP_CORNERS = 64
#: Of all clips in force together, and stretches of marked content in one stream.
_MOST_SIDES = 512
_MOST_MARKS = 50_000
#: A clip may touch the line that it holds; in units of the stream, whatever those are.
_TRIM_SLACK = 0.02


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


class _Run(NamedTuple):
    """Segments from one to before another that were stroked together."""

    first: int
    last: int
    matrix: Affine
    window: Floats
    mark: int
    unseen: Unseen


class _Reader:
    def __init__(self, resources: Resources, window: Floats, unseen: Unseen) -> None:
        self.resources = resources
        self.pen = Pen(window, unseen)
        self.saved: list[Pen] = []
        self.marks: list[Mark] = []
        self.open_marks: list[int] = []
        self.mark = -1
        self.runs: list[_Run] = []
        self.uses: list[Use] = []
        self.loose: set[str] = set()
        self.flat: list[float] = []  # eight numbers a segment
        self.first = 0  # where the path under construction begins, in segments
        self.here = self.start = (0.0, 0.0)
        self.fresh, self.parts, self.curved = True, 0, False
        self.clip = False
        self.commands: dict[bytes, Callable[[list[Operand]], None]] = {
            b"q": self._save,
            b"Q": self._restore,
            b"cm": self._matrix,
            b"w": lambda o: self.pen.hide(Unseen.THIN, take(o, 1)[0] <= 0),
            b"J": lambda o: self.pen.ends(int(take(o, 1)[0])),
            b"d": lambda o: self.pen.dash(take_list(o, -2)),
            b"gs": lambda o: self.pen.take_up(resources.graphics(take_name(o, -1))),
            b"G": lambda o: self.pen.colour(take(o, 1), "gray"),
            b"RG": lambda o: self.pen.colour(take(o, 3), "rgb"),
            b"K": lambda o: self.pen.colour(take(o, 4), "cmyk"),
            b"CS": self._space,
            b"SC": self._colour,
            b"SCN": self._colour,
            b"W": self._clip,
            b"W*": self._clip,
            b"S": lambda _: self._paint(stroke=True),
            b"s": lambda _: self._paint(stroke=True, close=True),
            b"f": lambda _: self._paint(fill=True),
            b"F": lambda _: self._paint(fill=True),
            b"f*": lambda _: self._paint(fill=True),
            b"B": lambda _: self._paint(stroke=True, fill=True),
            b"B*": lambda _: self._paint(stroke=True, fill=True),
            b"b": lambda _: self._paint(stroke=True, fill=True, close=True),
            b"b*": lambda _: self._paint(stroke=True, fill=True, close=True),
            b"n": lambda _: self._paint(),
            b"BMC": lambda o: self._begin(take_name(o, -1), {}),
            b"BDC": self._begin_with,
            b"EMC": self._end,
            b"Do": self._use,
            b"BI": lambda _: self._paint_loose("a picture"),
            b"sh": lambda _: self._paint_loose("a shading"),
            b"Tr": self._text_mode,
        }
        for word in (b"Tj", b"TJ", b"'", b'"'):
            self.commands[word] = lambda _: self._text()
        # Colours of fills, text and rendering hints: nothing that moves or hides a stroke.
        for word in (
            b"BT ET Tc Tw Tz TL Tf Ts Td TD Tm T* g rg k cs sc scn j M i ri MP DP BX EX d0 d1"
        ).split():
            self.commands[word] = lambda _: None
        self.text_clips = False

    def read(self, content: bytes) -> Ink:
        for word, operands in operations(content):
            if word == b"l":
                self._line(*take(operands, 2))
            elif word == b"c":
                self._curve(*take(operands, 6))
            elif word == b"m":
                self.here = self.start = take_pair(operands)
                self.fresh = True
            elif word == b"h":
                self._close()
            elif word == b"re":
                self._rectangle(*take(operands, 4))
            elif word == b"v":
                x2, y2, x3, y3 = take(operands, 4)
                self._curve(*self.here, x2, y2, x3, y3)
            elif word == b"y":
                x1, y1, x3, y3 = take(operands, 4)
                self._curve(x1, y1, x3, y3, x3, y3)
            elif word in self.commands:
                self.commands[word](operands)
            else:
                raise FileError(
                    f"the drawing command {word.decode('latin-1')[:20]!r} does not exist",
                    remedy="The file is damaged; publish it again.",
                )
        return self._ink()

    # Paths

    def _line(self, x: float, y: float) -> None:
        x0, y0 = self.here
        dx, dy = (x - x0) / 3, (y - y0) / 3
        self._segment((x0, y0, x0 + dx, y0 + dy, x - dx, y - dy, x, y))

    def _curve(self, x1: float, y1: float, x2: float, y2: float, x3: float, y3: float) -> None:
        self.curved = True
        self._segment((*self.here, x1, y1, x2, y2, x3, y3))

    def _segment(self, points: tuple[float, ...]) -> None:
        self.flat.extend(points)
        self.here = points[6], points[7]
        self.parts += self.fresh
        self.fresh = False

    def _close(self) -> None:
        if not self.fresh and self.here != self.start:
            self._line(*self.start)
        self.here, self.fresh = self.start, True

    def _rectangle(self, x: float, y: float, width: float, height: float) -> None:
        self.here = self.start = (x, y)
        self.fresh = True
        self._line(x + width, y)
        self._line(x + width, y + height)
        self._line(x, y + height)
        self._close()

    def _paint(self, *, stroke: bool = False, fill: bool = False, close: bool = False) -> None:
        if close:
            self._close()
        pen, last = self.pen, len(self.flat) // 8
        if fill and not self._in_furniture():
            self.loose.add("a filled area")
        mark, window, unseen = self.mark, pen.window, pen.unseen
        if self.clip:
            self._apply_clip()
        if not stroke:
            del self.flat[self.first * 8 :]
        elif last > self.first:
            self.runs.append(_Run(self.first, last, pen.matrix, window, mark, unseen))
        self.first = len(self.flat) // 8
        self.fresh, self.parts, self.curved = True, 0, False

    def _clip(self, _: list[Operand]) -> None:
        self.clip = True

    def _apply_clip(self) -> None:
        self.clip = False
        path = np.array(self.flat[self.first * 8 :], dtype=float).reshape(-1, 4, 2)
        window = None
        if self.parts == 1 and not self.curved and len(path) <= _MOST_CLIP_CORNERS:
            corners = np.concatenate([path[:, 0], path[-1:, 3]])
            window = ring_window(mapped(corners, self.pen.matrix))
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

    def _space(self, operands: list[Operand]) -> None:
        self.pen.colour((), self.resources.space(take_name(operands, -1)))

    def _colour(self, operands: list[Operand]) -> None:
        self.pen.colour([part for part in operands if type(part) is float], self.pen.space)

    # Text and pictures

    def _text_mode(self, operands: list[Operand]) -> None:
        self.text_clips = take(operands, 1)[0] >= 4

    def _text(self) -> None:
        self._paint_loose("text")
        if self.text_clips:
            self.pen.hide(Unseen.ODD_CLIP, True)

    def _paint_loose(self, what: str) -> None:
        if not self._in_furniture():
            self.loose.add(what)

    def _use(self, operands: list[Operand]) -> None:
        form = self.resources.form(take_name(operands, -1))
        if form is None:
            self._paint_loose("a picture")
            return
        pen = self.pen
        self.uses.append(Use(form, pen.matrix, pen.window, self.mark, pen.unseen))

    # Marked content

    def _in_furniture(self) -> bool:
        return self.mark >= 0 and self.marks[self.mark].furniture

    def _begin_with(self, operands: list[Operand]) -> None:
        said = operands[-1] if operands else None
        if isinstance(said, Name):
            said = self.resources.properties(said)
        elif isinstance(said, dict):
            said.pop("layer", None)
        if not isinstance(said, dict):
            raise senseless("BDC")
        self._begin(take_name(operands, -2), said)

    def _begin(self, tag: str, said: dict[str, Operand]) -> None:
        outer = self.marks[self.mark] if self.mark >= 0 else Mark()
        self.open_marks.append(self.mark)
        if tag == "Artifact":
            joint = (whole(said.get("Joint")), whole(said.get("Point")))
            known = joint[0] is not None and joint[1] is not None
            mark = Mark(
                furniture=True,
                joint=(joint[0] or 0, joint[1] or 0) if known else None,
                measure=two(said.get("Measure")),
                layers=outer.layers,
            )
        elif tag == "OC":
            layer = whole(said.get("layer"))
            layers = (*outer.layers, -1 if layer is None else layer)
            mark = Mark(outer.furniture, outer.joint, outer.measure, layers)
        else:
            return
        if len(self.marks) >= _MOST_MARKS:
            raise senseless("marked content without end")
        self.mark = len(self.marks)
        self.marks.append(mark)

    def _end(self, _: list[Operand]) -> None:
        if not self.open_marks:
            raise senseless("EMC")
        self.mark = self.open_marks.pop()

    # The outcome

    def _ink(self) -> Ink:
        runs = self.runs
        counts = np.array([run.last - run.first for run in runs], dtype=np.int64)
        strokes = np.array(self.flat[: self.first * 8], dtype=float).reshape(-1, 4, 2)
        if runs:
            maps = np.array([run.matrix for run in runs], dtype=float)
            each = np.repeat(maps, counts, axis=0)
            x, y = strokes[..., 0], strokes[..., 1]
            a, b, c, d, e, f = (each[:, None, k] for k in range(6))
            with np.errstate(over="ignore", invalid="ignore"):
                strokes = np.stack([a * x + c * y + e, b * x + d * y + f], axis=2)
        if not np.all(np.isfinite(strokes)) or np.any(np.abs(strokes) > 1e9):
            raise FileError(
                "a line is drawn at a place that does not exist",
                remedy="The file is damaged; publish it again.",
            )
        unseen = np.repeat(np.array([int(run.unseen) for run in runs], dtype=np.int64), counts)
        trimmed = self._trimmed(strokes)
        return Ink(
            strokes=strokes,
            mark=np.repeat(np.array([run.mark for run in runs], dtype=np.int64), counts),
            unseen=np.where(trimmed, unseen | int(Unseen.TRIMMED), unseen),
            marks=tuple(self.marks),
            uses=tuple(self.uses),
            loose=frozenset(self.loose),
        )

    def _trimmed(self, strokes: Floats) -> Bools:
        """Which segments, furniture aside, a clip in force inside this very stream cuts into."""
        trimmed = np.zeros(len(strokes), dtype=bool)
        by_window: dict[int, list[_Run]] = {}
        for run in self.runs:
            if len(run.window) and not (run.mark >= 0 and self.marks[run.mark].furniture):
                by_window.setdefault(id(run.window), []).append(run)
        for runs in by_window.values():
            window = grown_window(runs[0].window, _TRIM_SLACK)
            index = np.concatenate([np.arange(run.first, run.last) for run in runs])
            curves = strokes[index]
            outside = _outside(curves.reshape(-1, 2), window).reshape(-1, 4).any(axis=1)
            if not outside.any():
                continue
            # The control points only bound a curve: look at the curve itself where they stray.
            suspects = curves[outside]
            strays = np.zeros(len(suspects), dtype=bool)
            for t in np.linspace(0, 1, 65):
                strays |= _outside(points_at(suspects, np.full(len(suspects), t)), window)
            trimmed[index[outside]] = strays
        return trimmed


def _outside(points: Floats, window: Floats) -> Bools:
    outside: Bools = np.any(points @ window[:, :2].T > window[:, 2], axis=1)
    return outside
