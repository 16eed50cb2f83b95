"""Changes of where pieces lie on the pages by hand."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tiler.layout.papers import find_paper
from tiler.output.editing.change import Change
from tiler.output.editing.document import Document
from tiler.output.editing.label import Label
from tiler.output.editing.lists import added
from tiler.output.editing.putting import put, take
from tiler.output.folder.placedwords import placed_values
from tiler.pattern.errors import LengthError
from tiler.pattern.placed import Kind, Placed
from tiler.pattern.units import parse_length


@dataclass(frozen=True, slots=True)
class PlaceByHand(Change):
    """The places of all pieces on a paper; those kept for the same until now are replaced.

    Args:
        placed: The places.
    """

    placed: Placed

    @property
    def label(self) -> Label:
        return Label.of("places", value=_shown(self.placed.on))

    def done(self, doc: Document) -> Document:
        values = placed_values(self.placed)
        number = _number_of(doc, self.placed.kind)
        if number is None:
            return added(doc, ("placed",), values)
        if "styles" not in values:
            doc = take(doc, ("placed", number, "styles"))
        return put(doc, ("placed", number), values)


@dataclass(frozen=True, slots=True)
class LayAnew(Change):
    """No places by hand any more on a paper.

    Args:
        kind: What they are kept for.
    """

    kind: Kind

    @property
    def label(self) -> Label:
        return Label.of("places_anew", value=_shown(self.kind[0]))

    def done(self, doc: Document) -> Document:
        number = _number_of(doc, self.kind)
        return doc if number is None else take(doc, ("placed", number))


def _shown(on: str) -> str:
    """What people call a paper."""
    return find_paper(on).name


def _number_of(doc: Document, kind: Kind) -> int | None:
    """Which of the tables keeps places of a kind."""
    tables = doc.data.get("placed", [])
    for number, table in enumerate(tables if isinstance(tables, list) else []):
        if isinstance(table, dict) and _kind(table) == kind:
            return number
    return None


def _kind(table: dict[str, Any]) -> Kind | None:
    styles = table.get("styles", [])
    try:
        margin, overlap = (parse_length(table.get(key)) for key in ("margin", "overlap"))
    except LengthError:
        return None
    names = styles if isinstance(styles, list) else [styles]
    on = str(table.get("on", "")).strip().lower()
    return Placed(on, False, margin, overlap, (), tuple(map(str, names))).kind
