"""What a block of a DXF file holds, before anybody has said what piece it is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from tiler.intake.dxf.layers import Layer
from tiler.intake.tomltable import TEXT_LIMIT
from tiler.pattern.affine import Point
from tiler.pattern.model import AND, Role
from tiler.pattern.path import Path


@dataclass(frozen=True, slots=True)
class Said:
    """What extended data of our own say of an entity.

    Args:
        role: What the line is for; None when the layer says it.
        variants: Numbers of the styles that it belongs to; none when all share it.
        drawn: How a notch or a drill point is drawn; None when it is only a point.
    """

    role: Role | None = None
    variants: tuple[int, ...] = ()
    drawn: Path | None = None

    def style(self, styles: Sequence[str]) -> str:
        """The `style` of a line or mark, given the names in the order of their numbers from 1."""
        known = [styles[number - 1] for number in self.variants if 0 < number <= len(styles)]
        return AND.join(known) if len(known) == len(self.variants) else ""


@dataclass(frozen=True, slots=True)
class Strand:
    """A line as a row of points.

    Args:
        points: Millimetres, without the first again at the end of a closed line.
        turns: For each point True (a turn), False (on a curve) or None (not said).
        closed: Whether the last point is joined to the first.
    """

    layer: Layer
    points: tuple[Point, ...]
    turns: tuple[bool | None, ...]
    closed: bool
    element: str
    said: Said


@dataclass(frozen=True, slots=True)
class Dot:
    """A point."""

    layer: Layer
    at: Point
    element: str
    said: Said


@dataclass(frozen=True, slots=True)
class Field:
    """A text such as ``Piece Name: Front``; without a key it is all value."""

    key: str
    value: str
    at: Point


@dataclass
class Block:
    """One piece as the file holds it.

    Args:
        name: The block's name.
        left_out: What was left out and how often: kind of thing -> count.
    """

    name: str
    strands: list[Strand] = field(default_factory=list)
    dots: list[Dot] = field(default_factory=list)
    fields: list[Field] = field(default_factory=list)
    left_out: dict[str, int] = field(default_factory=dict)

    def leave_out(self, what: str) -> None:
        """Count something that is not read."""
        self.left_out[what] = self.left_out.get(what, 0) + 1

    def value(self, key: str) -> str:
        """The first value of a field, or empty."""
        return next((f.value for f in self.fields if f.key == key), "")

    def values(self, key: str) -> list[str]:
        """All values of a field, in the order of the file."""
        return [f.value for f in self.fields if f.key == key]


#: Ends a key whose value goes on from the text before it.
CONTINUED = ", continued"


def fields_of(texts: Iterable[tuple[str, Point]]) -> list[Field]:
    """Texts read as fields.

    The key is what stands before the first colon, in lower case, spaces drawn together. A text
    whose key ends in ", continued" goes on where the last one of that key stopped.
    """
    found: list[Field] = []
    latest: dict[str, int] = {}
    for text, at in texts:
        words = " ".join("".join(c if c.isprintable() else " " for c in text).split())
        if not words:
            continue
        key, colon, value = words.partition(":")
        key = key.strip().lower() if colon else ""
        if not colon:
            found.append(Field("", words, at))
        elif key.endswith(CONTINUED):
            key = key.removesuffix(CONTINUED)
            before = found[latest[key]] if key in latest else None
            if before and len(before.value) <= TEXT_LIMIT:
                found[latest[key]] = Field(key, f"{before.value} {value.strip()}", before.at)
        else:
            latest[key] = len(found)
            found.append(Field(key, value.strip(), at))
    return found
