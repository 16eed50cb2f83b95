"""Extended data of our own: what the layers of the standard cannot say.

An entity may carry, under our application name, the texts ``role=dart``, ``variant=2`` or, where
two styles share it, ``variant=1+3``, and for a mark ``drawn=LCCZ`` followed by points: the first
one, then what each segment adds (L one point, C three); Z closes the path.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import islice

from ezdxf.entities.dxfentity import DXFEntity

from tiler.intake.dxf.drawn import Said
from tiler.intake.dxf.layers import APPLICATION
from tiler.pattern.affine import Point
from tiler.pattern.model import Role
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment, Straight

#: Group codes: a text, and a place that moves along with the entity.
TEXT_CODE, PLACE_CODE = 1000, 1011
_VARIANTS = 1000


def said_of(entity: DXFEntity, mm: float) -> Said:
    """What our extended data say of an entity; what makes no sense says nothing.

    Args:
        entity: An entity of ezdxf.
        mm: Millimetres in one unit of the drawing.
    """
    if not entity.has_xdata(APPLICATION):
        return Said()
    words: dict[str, str] = {}
    places: list[Point] = []
    for tag in entity.get_xdata(APPLICATION):
        if tag.code == TEXT_CODE:
            key, _, value = str(tag.value).partition("=")
            words[key] = value
        elif tag.code == PLACE_CODE:
            places.append(Point(tag.value[0] * mm, tag.value[1] * mm))
    role = words.get("role", "")
    variant = words.get("variant", "")
    numbers = variant.split("+")[:_VARIANTS]
    usable = all(n.isascii() and n.isdigit() and len(n) < 4 for n in numbers)
    return Said(
        Role(role) if role in tuple(Role) else None,
        tuple(map(int, numbers)) if usable else (),
        _drawn(words.get("drawn", ""), places),
    )


def _drawn(letters: str, places: Sequence[Point]) -> Path | None:
    closed = letters.endswith("Z")
    letters = letters.removesuffix("Z")
    needed = 1 + letters.count("L") + 3 * letters.count("C")
    if not letters or set(letters) - {"L", "C"} or len(places) != needed:
        return None
    return Path(tuple(_segments(letters, iter(places))), closed)


def _segments(letters: str, places: Iterator[Point]) -> Iterator[Segment]:
    here = next(places)
    for letter in letters:
        if letter == "L":
            segment: Segment = Straight(here, next(places))
        else:
            segment = Cubic(here, *islice(places, 3))
        yield segment
        here = segment.end
