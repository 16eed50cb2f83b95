"""Transforms, as the attribute and as the CSS property.

Source: CSS Transforms Module Level 1, 8 "The SVG transform Attribute" and 11 "The Transform
Functions" (2D only).
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence

from tiler.intake.svg import limits
from tiler.intake.svg.lengths import NUMBER, read_length
from tiler.intake.svg.xmltree import Node, excerpt
from tiler.pattern.affine import Affine

_SPACE = r"[ \t\r\n\f]*"
_CALL = re.compile(rf"{_SPACE}([a-zA-Z0-9]+){_SPACE}\(([^()]{{0,800}})\){_SPACE},?{_SPACE}")
_ARGUMENT = re.compile(rf"(?P<number>{NUMBER})(?P<unit>%|[a-zA-Z]*)")
_BETWEEN = re.compile(rf"{_SPACE},?{_SPACE}")
_LONGEST = 20_000
_TOO_LARGE = "has numbers that are too large"
_DEGREES = {"": 1.0, "deg": 1.0, "grad": 0.9, "rad": 180 / math.pi, "turn": 360.0}

_Argument = tuple[float, str]
_REMEDY = (
    "Write translate, scale, rotate, skewX, skewY or matrix with plain numbers, or apply the"
    " transform in the editor."
)


def read_transform(node: Node, text: str) -> Affine:
    """The map that a transform stands for, from inside the element to outside it.

    Raises:
        DrawingError: A function that is not known or not flat, wrong numbers, or a map that
            squeezes everything onto a line.
    """
    if text.strip() in ("", "none"):
        return Affine()
    if len(text) > _LONGEST:
        raise _fault(node, text, f"has more than {_LONGEST:,} characters")
    total, position = Affine(), 0
    while position < len(text):
        call = _CALL.match(text, position)
        if call is None:
            raise _fault(node, text, "cannot be read")
        total = _function(node, text, call[1].lower(), call[2]).then(total)
        position = call.end()
    if not all(math.isfinite(v) and abs(v) <= limits.LARGEST_NUMBER for v in total):
        raise _fault(node, text, _TOO_LARGE)
    if abs(total.determinant) < 1e-18:
        raise _fault(node, text, "squeezes the drawing to nothing")
    return total


def about(origin: tuple[float, float], transform: Affine) -> Affine:
    """The transform carried out about another point than the origin."""
    x, y = origin
    return Affine.move(-x, -y).then(transform).then(Affine.move(x, y))


def read_origin(node: Node, text: str) -> tuple[float, float]:
    """A transform-origin of two lengths, in user units.

    Raises:
        DrawingError: Words or percentages, which depend on how a program draws.
    """
    words = text.split()
    if not 1 <= len(words) <= 3 or any("%" in w or w[:1].isalpha() for w in words):
        raise node.fault(
            f'transform-origin "{excerpt(text)}" cannot be followed',
            "Write it as two lengths, or apply the transform in the editor.",
        )
    sides = [read_length(node, "transform-origin", word).user(0.0) for word in words[:2]]
    if len(sides) == 1:
        raise node.fault(
            f'transform-origin "{excerpt(text)}" gives one length only', "Write two lengths."
        )
    return sides[0], sides[1]


def _function(node: Node, text: str, name: str, inside: str) -> Affine:
    counts, make = _FUNCTIONS.get(name, ((), None))
    if make is None:
        raise _fault(node, text, f"has the unknown function {excerpt(name)}()")
    arguments = _arguments(inside)
    if arguments is None or len(arguments) not in counts:
        raise _fault(node, text, f"has wrong numbers in {name}()")
    if any(abs(number) > limits.LARGEST_NUMBER for number, _ in arguments):
        raise _fault(node, text, _TOO_LARGE)
    try:
        return make(arguments)
    except _UnitError:
        raise _fault(node, text, f"has a unit that cannot be used in {name}()") from None


def _arguments(inside: str) -> list[_Argument] | None:
    found: list[_Argument] = []
    inside = inside.strip(" \t\r\n\f")
    position = 0
    while position < len(inside):
        if found:
            between = _BETWEEN.match(inside, position)
            position = between.end() if between else position
        match = _ARGUMENT.match(inside, position)
        if match is None:
            return None
        found.append((float(match["number"]), match["unit"].lower()))
        position = match.end()
    return found


class _UnitError(Exception):
    """A unit in the wrong place."""


def _number(argument: _Argument) -> float:
    if argument[1]:
        raise _UnitError
    return argument[0]


def _angle(argument: _Argument) -> float:
    if argument[1] not in _DEGREES:
        raise _UnitError
    return argument[0] * _DEGREES[argument[1]]


_PX = {"": 1.0, "px": 1.0, "in": 96.0, "cm": 96 / 2.54, "mm": 96 / 25.4, "q": 96 / 101.6}
_PX |= {"pt": 4 / 3, "pc": 16.0}


def _distance(argument: _Argument) -> float:
    if argument[1] not in _PX:
        raise _UnitError
    return argument[0] * _PX[argument[1]]


def _matrix(a: Sequence[_Argument]) -> Affine:
    return Affine(*map(_number, a))


def _translate(a: Sequence[_Argument]) -> Affine:
    return Affine.move(_distance(a[0]), _distance(a[1]) if len(a) > 1 else 0.0)


def _scale(a: Sequence[_Argument]) -> Affine:
    return Affine.scale(_number(a[0]), _number(a[-1]))


def _rotate(a: Sequence[_Argument]) -> Affine:
    turn = Affine.turn(_angle(a[0]))
    return turn if len(a) == 1 else about((_distance(a[1]), _distance(a[2])), turn)


def _skew(x: float, y: float) -> Affine:
    return Affine(1, math.tan(math.radians(y)), math.tan(math.radians(x)), 1, 0, 0)


_FUNCTIONS: dict[str, tuple[tuple[int, ...], Callable[[Sequence[_Argument]], Affine] | None]] = {
    "matrix": ((6,), _matrix),
    "translate": ((1, 2), _translate),
    "translatex": ((1,), lambda a: Affine.move(_distance(a[0]), 0.0)),
    "translatey": ((1,), lambda a: Affine.move(0.0, _distance(a[0]))),
    "scale": ((1, 2), _scale),
    "scalex": ((1,), lambda a: Affine.scale(_number(a[0]), 1.0)),
    "scaley": ((1,), lambda a: Affine.scale(1.0, _number(a[0]))),
    "rotate": ((1, 3), _rotate),
    "skewx": ((1,), lambda a: _skew(_angle(a[0]), 0.0)),
    "skewy": ((1,), lambda a: _skew(0.0, _angle(a[0]))),
    "skew": ((1, 2), lambda a: _skew(_angle(a[0]), _angle(a[1]) if len(a) > 1 else 0.0)),
}


def _fault(node: Node, text: str, problem: str) -> Exception:
    return node.fault(f'transform="{excerpt(text)}" {problem}', _REMEDY)
