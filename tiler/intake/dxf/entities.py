"""The entities of a block as rows of points in millimetres."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from ezdxf.document import Drawing
from ezdxf.entities.dxfentity import DXFEntity
from ezdxf.entities.dxfgfx import DXFGraphic
from ezdxf.entities.insert import Insert
from ezdxf.entities.lwpolyline import LWPolyline
from ezdxf.entities.mtext import MText
from ezdxf.entities.point import Point as PointEntity
from ezdxf.entities.polyline import Polyline
from ezdxf.entities.text import Text
from ezdxf.math import Vec3

from tiler.intake.dxf.document import guarded
from tiler.intake.dxf.drawn import Block, Dot, Strand, fields_of
from tiler.intake.dxf.extended import said_of
from tiler.intake.dxf.layers import LINES, POINTS, WITHOUT_PLACE, layer_of
from tiler.intake.dxf.rows import point_of, row_of
from tiler.pattern.affine import Point
from tiler.pattern.errors import DrawingError

#: Points of all lines together.
POINT_LIMIT = 100_000
#: Blocks within blocks; the standard has none.
DEPTH_LIMIT = 4
#: A direction as it is in a plan seen from above.
_UP = Vec3(0, 0, 1)

#: A character by its number (DXF Reference, "\\U+nnnn", release 13).
_CODE = re.compile(r"\\U\+([0-9A-Fa-f]{4})")


@dataclass
class Budget:
    """What may still be read, so that blocks within blocks cannot multiply without end."""

    name: str
    points: int = POINT_LIMIT

    def spend(self, points: int) -> None:
        """Take points from it.

        Raises:
            DrawingError: There are not so many left.
        """
        self.points -= points
        if self.points < 0:
            raise DrawingError(
                f"the lines have more than {POINT_LIMIT} points",
                where=self.name,
                remedy="Simplify the lines, or split the style into several files.",
            )


def block_of(
    insert: Insert | None, block: str, drawing: Drawing, mm: float, budget: Budget
) -> Block:
    """All that one block holds.

    Args:
        insert: Where the block is placed; its turn, flip and scale count, its position does not.
        block: The block's name.
        drawing: The file.
        mm: Millimetres in one unit.
        budget: What may still be read from the file.

    Raises:
        DrawingError: Blocks in a circle or too deep, or more than the budget.
    """
    read = Block(block)
    where = f"{budget.name}, block {_printable(block)}"
    texts: list[tuple[str, Point]] = []
    with guarded(where):
        content: Iterable[DXFEntity] = drawing.blocks.get(block) or ()
        if insert is not None and not _only_moved(insert):
            budget.spend(_size(drawing, block))
            content = _virtual(insert, read)
        for number, entity in enumerate(_flat(content, (block.lower(),), drawing, read, budget), 1):
            _read_entity(entity, number, mm, read, texts, budget)
    read.fields = fields_of(texts)
    return read


def text_of(entity: Text | MText) -> Iterator[str]:
    """The lines of a text, its codes resolved.

    A character beyond the first 65 536 is written as two codes, its UTF-16 halves; a half alone
    is replaced by the sign for a lost character.
    """
    lines = entity.plain_text(split=True) if isinstance(entity, MText) else [entity.plain_text()]
    for line in lines:
        decoded = _CODE.sub(lambda code: chr(int(code[1], 16)), line)
        yield decoded.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")


def _only_moved(insert: Insert) -> bool:
    dxf = insert.dxf
    scales = (dxf.xscale, dxf.yscale)
    return (
        all(abs(scale - 1) < 1e-9 for scale in scales)
        and abs(math.remainder(dxf.rotation, 360)) < 1e-9
        and Vec3(dxf.extrusion).isclose(_UP)
    )


def _virtual(insert: Insert, read: Block) -> Iterator[DXFGraphic]:
    """The entities of an inserted block where the insert puts them."""

    def skipped(entity: DXFGraphic, _: str) -> None:
        read.leave_out(f"{entity.dxftype()} entities")

    return insert.virtual_entities(skipped_entity_callback=skipped)


def _size(drawing: Drawing, block: str) -> int:
    layout = drawing.blocks.get(block)
    if layout is None:
        return 0
    return sum(max(1, len(e)) if isinstance(e, Polyline | LWPolyline) else 1 for e in layout)


def _flat(
    content: Iterable[DXFEntity],
    trail: tuple[str, ...],
    drawing: Drawing,
    read: Block,
    budget: Budget,
) -> Iterator[DXFEntity]:
    """The entities, those of blocks within the block in their place."""
    for entity in content:
        if not isinstance(entity, Insert):
            yield entity
            continue
        inner = str(entity.dxf.name).lower()
        if inner in trail:
            circle = " in ".join(_printable(n) for n in [inner, *reversed(trail)])
            raise DrawingError(
                f"blocks lie inside themselves: {circle}",
                where=budget.name,
                remedy="Explode the inner block.",
            )
        if len(trail) > DEPTH_LIMIT:
            raise DrawingError(
                f"blocks lie more than {DEPTH_LIMIT} deep inside one another",
                where=f"{budget.name}, block {_printable(trail[0])}",
                remedy="Explode the inner blocks.",
            )
        if drawing.blocks.get(inner) is None:
            read.leave_out(f"the block {_printable(inner)}, which is not in the file")
            continue
        if entity.mcount > 1:
            read.leave_out("repeated INSERT entities")
            continue
        budget.spend(1 + _size(drawing, inner))
        yield from _flat(_virtual(entity, read), (*trail, inner), drawing, read, budget)


def _read_entity(
    entity: DXFEntity,
    number: int,
    mm: float,
    read: Block,
    texts: list[tuple[str, Point]],
    budget: Budget,
) -> None:
    kind = entity.dxftype()
    if isinstance(entity, Text | MText):
        at = point_of(Vec3(entity.dxf.insert), mm)
        texts.extend((line, at) for line in text_of(entity))
        budget.spend(1)
        return
    name = str(entity.dxf.get("layer", "0"))
    layer = layer_of(name)
    if layer is None:
        read.leave_out(f"{kind} entities on layer {_printable(name)}, which ASTM D6673 has not")
        return
    if layer in WITHOUT_PLACE:
        read.leave_out(WITHOUT_PLACE[layer])
        return
    wanted = POINTS if isinstance(entity, PointEntity) else LINES
    if layer not in wanted:
        read.leave_out(f"{kind} entities on layer {layer:d}, where they say nothing")
        return
    element = f"block {_printable(read.name)}, entity {number} ({kind} on layer {layer:d})"
    said = said_of(entity, mm)
    if entity.is_virtual:
        # Extended data do not turn along with a turned block.
        said = replace(said, drawn=None)
    if isinstance(entity, PointEntity):
        budget.spend(1)
        read.dots.append(Dot(layer, point_of(Vec3(entity.dxf.location), mm), element, said))
        return
    row = row_of(entity, mm, f"{budget.name}, {element}")
    if row is None:
        read.leave_out(f"{kind} entities")
        return
    points, turns, closed = row
    budget.spend(len(points))
    if len(points) > 2 and not closed and points[0].to(points[-1]) <= 1e-3:
        points, turns, closed = points[:-1], turns[:-1], True
    if len(points) > 1:
        read.strands.append(Strand(layer, tuple(points), tuple(turns), closed, element, said))


def _printable(name: str) -> str:
    words = "".join(c if c.isprintable() else " " for c in name)
    return words if len(words) <= 40 else f"{words[:40]}…"
