"""Path data: the ``d`` of a <path> and the ``points`` of a polygon.

The grammar is that of SVG 2, 9.3, with SVG 1.1's trailing point ("1.") allowed. A program that
draws shows a broken path up to its first fault; half an outline is no outline, so here a fault is
an error.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from tiler.intake.svg import limits
from tiler.intake.svg.arcs import arc_between
from tiler.intake.svg.lengths import NUMBER
from tiler.intake.svg.subpath import Step, Subpath
from tiler.intake.svg.xmltree import Node, excerpt
from tiler.pattern.affine import Point
from tiler.pattern.segment import Cubic, Straight

_WS = "[ \t\r\n\f]*"
_SPACE = re.compile(_WS)
# Atomic groups: a number is never read a second time in another way.
_ONE = f"(?>{NUMBER})"
_BETWEEN = f"(?>{_WS},?{_WS})"
_RUN = re.compile(f"{_ONE}(?>{_BETWEEN}{_ONE})*")
_NUMBERS = re.compile(NUMBER)
_ARC = re.compile(
    _BETWEEN.join(
        (f"({_ONE})", f"({_ONE})", f"({_ONE})", "([01])", "([01])", f"({_ONE})", f"({_ONE})")
    )
)
_COMMA = re.compile(f"{_WS},?{_WS}")

_ARITY = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2}
_REMEDY = "Redraw the line, or save the file again from the editor in which it was drawn."


def read_path_data(node: Node, text: str) -> list[Subpath]:
    """The subpaths of path data, in the element's own units.

    Quadratics become the cubics that are the same curve; arcs stay arcs.

    Raises:
        DrawingError: Broken data, absurd numbers, or too many segments.
    """
    if text.strip() in ("", "none"):
        return []
    return _Reader(node, text).read()


def read_points(node: Node, text: str) -> list[Point]:
    """The points of a polyline or polygon.

    Raises:
        DrawingError: As for path data; also an odd count of numbers.
    """
    start = _skip(text, 0)
    if start == len(text):
        return []
    run = _RUN.match(text, start)
    end = _skip(text, run.end()) if run else start
    if run is None or end != len(text):
        raise _fault(node, text, end, "points")
    numbers = list(_values(node, run[0], 2 * limits.SEGMENTS))
    if len(numbers) % 2:
        raise node.fault("points has an odd count of numbers", _REMEDY)
    pairs = iter(numbers)
    return [Point(x, y) for x, y in zip(pairs, pairs, strict=True)]


def _skip(text: str, position: int) -> int:
    match = _SPACE.match(text, position)
    return match.end() if match else position


def _values(node: Node, run: str, most: int) -> Iterator[float]:
    for count, match in enumerate(_NUMBERS.finditer(run)):
        if count >= most:
            raise limits.too_many_segments(node.place)
        yield _value(node, match[0])


def _value(node: Node, word: str) -> float:
    value = float(word)
    if not abs(value) <= limits.LARGEST_NUMBER:
        raise node.fault(f'"{excerpt(word)}" is too large for a drawing', "Correct the number.")
    return value


def _fault(node: Node, text: str, position: int, what: str = "d") -> Exception:
    rest = text[position : position + 20]
    there = f'at character {position + 1}, before "{excerpt(rest)}"' if rest else "at its end"
    return node.fault(f"the path data in {what} is broken {there}", _REMEDY)


class _Reader:
    """One pass over one ``d``."""

    def __init__(self, node: Node, text: str) -> None:
        self.node = node
        self.text = text
        self.found: list[Subpath] = []
        self.here = Point(0.0, 0.0)
        self.left = limits.SEGMENTS
        # The last handle, by the letter of the curve whose smooth form may mirror it.
        self.handle: tuple[str, Point] | None = None

    def read(self) -> list[Subpath]:
        position = _skip(self.text, 0)
        if self.text[position] not in "Mm":
            raise _fault(self.node, self.text, position)
        while position < len(self.text):
            at, letter = position, self.text[position]
            position = _skip(self.text, position + 1)
            if letter in "Zz":
                self._close()
            elif letter in "Aa":
                position = self._arcs(position, relative=letter == "a")
            elif letter.upper() in _ARITY:
                position = self._run(position, letter)
            else:
                raise _fault(self.node, self.text, at)
            position = _skip(self.text, position)
        return self.found

    def _run(self, position: int, letter: str) -> int:
        run = _RUN.match(self.text, position)
        if run is None:
            raise _fault(self.node, self.text, position)
        arity = _ARITY[letter.upper()]
        numbers = list(_values(self.node, run[0], arity * self.left))
        if len(numbers) % arity:
            raise _fault(self.node, self.text, run.end())
        relative, command = letter.islower(), letter.upper()
        for index in range(0, len(numbers), arity):
            group = numbers[index : index + arity]
            if command == "M":
                self._move(group, relative)
                command = "L"
            else:
                self._draw(command, group, relative)
        return run.end()

    def _arcs(self, position: int, *, relative: bool) -> int:
        match = _ARC.match(self.text, position)
        if match is None:
            raise _fault(self.node, self.text, position)
        while match is not None:
            rx, ry, tilt, x, y = (_value(self.node, match[i]) for i in (1, 2, 3, 6, 7))
            end = self._point(x, y, relative)
            step = arc_between(self.here, (rx, ry), tilt, match[4] == "1", match[5] == "1", end)
            if step is not None:
                self._append(step, end)
            self.handle = None
            position = match.end()
            comma = _COMMA.match(self.text, position)
            match = _ARC.match(self.text, comma.end()) if comma else None
        return position

    def _point(self, x: float, y: float, relative: bool) -> Point:
        return Point(self.here.x + x, self.here.y + y) if relative else Point(x, y)

    def _move(self, group: list[float], relative: bool) -> None:
        self.here = self._point(group[0], group[1], relative)
        if self.found and not self.found[-1].steps:
            self.found.pop()  # A move straight after a move draws nothing.
        self.found.append(Subpath(self.here))
        self.handle = None

    def _close(self) -> None:
        last = self.found[-1]
        last.closed = True
        self.here = last.start
        self.handle = None

    def _append(self, step: Step, end: Point) -> None:
        if self.found[-1].closed:  # After Z a new line begins where the old one did.
            self.found.append(Subpath(self.here))
        self.left -= 1
        if self.left < 0:
            raise limits.too_many_segments(self.node.place)
        self.found[-1].steps.append(step)
        self.here = end

    def _draw(self, command: str, group: list[float], relative: bool) -> None:
        here = self.here
        if command == "H":
            points = [Point(here.x + group[0] if relative else group[0], here.y)]
        elif command == "V":
            points = [Point(here.x, here.y + group[0] if relative else group[0])]
        else:
            points = [
                self._point(group[i], group[i + 1], relative) for i in range(0, len(group), 2)
            ]
        end = points[-1]
        handle: tuple[str, Point] | None = None
        step: Step
        if command in "LHV":
            step = Straight(here, end)
        elif command in "CS":
            first = points[0] if command == "C" else self._mirrored("C")
            step = Cubic(here, first, points[-2], end)
            handle = ("C", points[-2])
        else:
            control = points[0] if command == "Q" else self._mirrored("Q")
            step = raised(here, control, end)
            handle = ("Q", control)
        self._append(step, end)
        self.handle = handle

    def _mirrored(self, letter: str) -> Point:
        if self.handle is None or self.handle[0] != letter:
            return self.here
        handle = self.handle[1]
        return Point(2 * self.here.x - handle.x, 2 * self.here.y - handle.y)


def raised(start: Point, control: Point, end: Point) -> Cubic:
    """The cubic that is the same curve as a quadratic (degree elevation)."""
    return Cubic(
        start,
        Point((start.x + 2 * control.x) / 3, (start.y + 2 * control.y) / 3),
        Point((end.x + 2 * control.x) / 3, (end.y + 2 * control.y) / 3),
        end,
    )
