"""What goes on a surface. Outputs know nothing but this.

Millimetres, y up, from the lower left corner of the surface. Greys run from 0 (black) to 1 (white).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from tiler.pattern.affine import STILL, Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line is drawn: width and dashes in millimetres."""

    width: float
    grey: float = 0.0
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Stroke:
    """Lines along paths."""

    paths: tuple[Path, ...]
    pen: Pen


@dataclass(frozen=True, slots=True)
class Fill:
    """The inside of closed paths."""

    paths: tuple[Path, ...]
    grey: float


@dataclass(frozen=True, slots=True)
class Words:
    """One line of text.

    Args:
        text: What it says.
        at: Left end, middle or right end of the baseline, as `anchor` says.
        size_pt: Type size in points.
        anchor: start, middle or end.
        turn: Degrees anticlockwise about `at`.
    """

    text: str
    at: Point
    size_pt: float
    anchor: str = "start"
    turn: float = 0.0
    bold: bool = False
    grey: float = 0.0


@dataclass(frozen=True, slots=True)
class Group:
    """Items that share a shift, a window, or a meaning.

    Args:
        at: Where the group lies.
        window: Nothing is seen outside it, in the coordinates outside the group.
        furniture: Whether these are the page's own marks and no lines of the pattern.
        facts: What a reader of the file may want to know of it, such as a joint's number.
        layers: The layers that it belongs to; it shows as long as one of them is on.
    """

    items: tuple[Item, ...]
    at: Affine | None = None
    window: Bounds | None = None
    furniture: bool = False
    facts: tuple[tuple[str, float | tuple[float, ...]], ...] = ()
    layers: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class Drawing:
    """A drawing that may be used in many places; the same object is written only once.

    Args:
        bounds: What it covers, line widths included.
        items: From back to front.
        layer: The name under which a reader can switch it off; empty when it is no layer.
        any_of: Instead of `layer`, several names: it shows as long as one of them is on.
    """

    bounds: Bounds
    items: tuple[Item, ...]
    layer: str = ""
    any_of: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Use:
    """A drawing, placed."""

    drawing: Drawing
    at: Affine = STILL


Item = Stroke | Fill | Words | Group | Use


@dataclass(frozen=True)
class Page:
    """One page of a publication; `name` is what people call it."""

    name: str
    width: float
    height: float
    items: tuple[Item, ...]


@dataclass(frozen=True)
class Attachment:
    """A file carried inside a publication; `relation` as in ISO 32000-2, 7.11.3, AFRelationship."""

    name: str
    content: bytes = field(repr=False)
    relation: str
    media_type: str


@dataclass(frozen=True)
class Publication:
    """Everything that one output file holds.

    Args:
        layers: The names of all layers, in the order in which a reader lists them.
        headings: The same names under headings; empty for a plain list.
        printed: The layers that are printed even when they have been switched off on screen.
    """

    title: str
    author: str
    subject: str
    pages: tuple[Page, ...]
    layers: tuple[str, ...] = ()
    headings: tuple[tuple[str, tuple[str, ...]], ...] = ()
    printed: tuple[str, ...] = ()
    attachments: tuple[Attachment, ...] = ()


def walk(items: tuple[Item, ...]) -> Iterator[Item]:
    """Every item, those inside groups and used drawings too."""
    for item in items:
        yield item
        if isinstance(item, Group):
            yield from walk(item.items)
        elif isinstance(item, Use):
            yield from walk(item.drawing.items)
