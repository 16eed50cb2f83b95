"""What is written on a piece: fold brackets, the names of styles along their lines, the label."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely.geometry.base import BaseGeometry

from tiler.drafting.pairs import partner_of
from tiler.layout.plan import Placement
from tiler.pattern.affine import STILL, Affine
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Lies, Pattern, Role
from tiler.pattern.path import Path
from tiler.sheets.bracket import draw_bracket
from tiler.sheets.drawing import Fill, Item, Stroke
from tiler.sheets.extent import word_shapes
from tiler.sheets.ground import Ground
from tiler.sheets.labelling import draw_label
from tiler.sheets.layers import drawn_keys
from tiler.sheets.room import Room, as_line
from tiler.sheets.stylename import name_style_lines

#: Lines round the place of something else: a label in there would be taken for that piece's.
_PLACES = (Role.INSIDE, Role.POCKET)


@dataclass(frozen=True)
class Sign:
    """Something written on a piece, sheet coordinates.

    Args:
        items: Words, and lines and arrows that go with them.
        style: The style key that it is for; empty when it is for all.
    """

    items: tuple[Item, ...]
    style: str = ""

    @cached_property
    def areas(self) -> tuple[BaseGeometry, ...]:
        """The paper that it takes."""
        parts: list[BaseGeometry] = list(word_shapes(self.items, STILL))
        for item in self.items:
            if isinstance(item, Stroke):
                parts += [as_line(path).buffer(item.pen.width / 2) for path in item.paths]
            elif isinstance(item, Fill):
                parts += [shapely.Polygon(path.flattened(0.05)) for path in item.paths]
        return tuple(parts)


@dataclass(frozen=True)
class Body:
    """The paper of a piece on the sheet.

    Args:
        all: What the outlines of all styles enclose together.
        kept: What every style keeps: a label there is never cut away.
    """

    all: BaseGeometry
    kept: BaseGeometry

    @classmethod
    def of(cls, placement: Placement) -> Body:
        """The body of a placed piece."""
        shapes = [enclosed([o.path], placement.at) for o in placement.piece.outlines]
        everything, kept = shapely.union_all(shapes), shapely.intersection_all(shapes)
        return cls(everything, everything if kept.is_empty else kept)


@dataclass(frozen=True)
class Written:
    """All that is written on a piece.

    Args:
        signs: The label is the last.
        complete: Whether the label says all that the maker wants said.
    """

    signs: tuple[Sign, ...]
    complete: bool

    @property
    def label(self) -> Sign:
        """The block with the piece's name."""
        return self.signs[-1]


def write_on(
    placement: Placement,
    pattern: Pattern,
    body: Body,
    lines: Sequence[BaseGeometry],
    ground: Ground,
) -> Written:
    """Place the words of a piece, upright on the sheet at whatever turn the piece lies.

    Args:
        placement: The piece.
        pattern: What it belongs to.
        body: Its paper.
        lines: All that is drawn of it, sheet coordinates.
        ground: The pages.
    """
    piece, at = placement.piece, placement.at
    ground = ground.near(Bounds(*body.all.bounds))
    outlined = enclosed([line.path for line in piece.lines if line.role in _PLACES], at)
    room = Room(lines)
    signs: list[Sign] = []
    shared = bool(partner_of(piece, pattern))
    for edge in (run.edge for run in piece.runs):
        if edge.lies is Lies.FOLD:
            # A bracket runs over several pages, each of which gets what it shows of it.
            signs += [Sign((item,)) for item in draw_bracket(edge, at, room, ground, shared=shared)]
    for style in drawn_keys(piece):
        for words in name_style_lines(piece, style, at, room, body.all, ground):
            signs.append(Sign((words,), style))
    label, complete = draw_label(piece, pattern, room, body.kept, outlined, ground)
    return Written((*signs, Sign(tuple(label))), complete)


def enclosed(paths: list[Path], at: Affine) -> BaseGeometry:
    """What paths enclose on the sheet; open ones are closed by a straight line."""
    shapes = []
    for path in paths:
        points = [at(p) for p in path.flattened(0.1)]
        if len(points) > 2:
            shapes.append(shapely.make_valid(shapely.Polygon(points)))
    return shapely.union_all(shapes)
