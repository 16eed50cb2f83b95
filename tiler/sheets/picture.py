"""A pattern to look at: every piece small, its edges lettered and measured, ready to cut from."""

from __future__ import annotations

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern
from tiler.pattern.path import rectangle
from tiler.sheets.composing import compose
from tiler.sheets.drawing import Fill, Group, Item, Page, Words
from tiler.sheets.lettering import BODY, TITLE, height_of, leading_of
from tiler.sheets.picturekey import draw_picture_key
from tiler.sheets.words import say

#: Width of the picture and the height that is aimed at: A3 lying (ISO 216), or A2 standing printed
#: on A3 or A4; and the paper round everything, millimetres.
WIDE = 420.0
HEIGHTS = (297.0, 594.0)
EDGE = 12.0


def draw_picture(pattern: Pattern) -> Page:
    """One page that shows all pieces in proportion to each other.

    Args:
        pattern: Drafted, so that edges have the letters of the tracing.
    """
    key, key_height = draw_picture_key(pattern, WIDE - 2 * EDGE)
    head = EDGE + leading_of(TITLE) + leading_of(BODY) + key_height + 5.0
    composed = compose(pattern, WIDE - 2 * EDGE, [high - head - EDGE for high in HEIGHTS])
    height = head + composed.height + EDGE
    items = _head(pattern, composed.factor, height)
    low = EDGE + leading_of(TITLE) + leading_of(BODY)
    items.append(Group(tuple(key), at=Affine.move(EDGE, height - low)))
    for piece, (left, down) in zip(composed.pieces, composed.places, strict=True):
        at = Affine.move(EDGE + left - piece.extent.left, height - head - down - piece.extent.top)
        items.append(Group(piece.items, at=at))
    paper = Fill((rectangle(Bounds(0, 0, WIDE, height)),), 1.0)
    return Page("pieces", WIDE, height, (Group((paper, *items), furniture=True),))


def _head(pattern: Pattern, factor: float, height: float) -> list[Item]:
    top = height - EDGE - height_of(TITLE)
    items: list[Item] = [Words(pattern.title, Point(EDGE, top), TITLE, bold=True)]
    facts = [pattern.maker, f"version {pattern.version}" if pattern.version else ""]
    facts += [f"pattern digest {pattern.digest}"]
    facts += [say("picture_scale", percent=f"{factor * 100:.0f}")]
    line = " · ".join(fact for fact in facts if fact)
    items.append(Words(line, Point(EDGE, top - leading_of(BODY) - 1.5), BODY, grey=0.2))
    return items
