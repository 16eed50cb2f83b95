"""Changes of one edge of a piece."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tiler.output.editing.change import Change, key_of, piece_in, piece_path
from tiler.output.editing.document import Document
from tiler.output.editing.hems import (
    letters,
    lies_of,
    put_edge_value,
    with_hem,
    with_lies,
)
from tiler.output.editing.label import Label
from tiler.output.editing.putting import put
from tiler.output.editing.tidying import take_tidily
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lies

if TYPE_CHECKING:
    from tiler.pattern.model import Pattern


@dataclass(frozen=True, slots=True)
class EdgeAllowance(Change):
    """How wide the allowance of an edge is.

    Args:
        piece: Name of the piece.
        edge: Letter of the edge.
        value: A length as it is written; None to have the piece's.
    """

    piece: str
    edge: str
    value: str | None

    @property
    def label(self) -> Label:
        if self.value is None:
            return Label.of("edge_allowance_none", piece=self.piece, edge=self.edge)
        return Label.of("edge_allowance", piece=self.piece, edge=self.edge, value=self.value)

    def done(self, doc: Document) -> Document:
        path = piece_path(doc, self.piece)
        return put_edge_value(doc, path, self.edge, "allowance", self.value)


@dataclass(frozen=True, slots=True)
class EdgeFinish(Change):
    """How the corners at the ends of an edge are finished.

    Args:
        piece: Name of the piece.
        edge: Letter of the edge.
        value: mitre, square or reflected; None for what the edge asks by itself.
    """

    piece: str
    edge: str
    value: str | None

    @property
    def label(self) -> Label:
        return Label.of("edge_finish", piece=self.piece, edge=self.edge, value=self.value)

    def done(self, doc: Document) -> Document:
        path = piece_path(doc, self.piece)
        return put_edge_value(doc, path, self.edge, "finish", self.value)


@dataclass(frozen=True, slots=True)
class EdgeLies(Change):
    """What becomes of an edge.

    Args:
        piece: Name of the piece.
        edge: Letter of the edge.
        lies: Sewn, on the fold, a hem, or raw.
        allowance: Of a seam or hem, as it is written; None to have the piece's.
        finish: Of a seam or hem; None for what the edge asks by itself.
    """

    piece: str
    edge: str
    lies: Lies
    allowance: str | None = None
    finish: str | None = None

    @property
    def label(self) -> Label:
        place = {"piece": self.piece, "edge": self.edge}
        if self.allowance is None or self.lies in (Lies.FOLD, Lies.RAW):
            return Label.of(f"edge_lies_{self.lies}", **place)
        return Label.of(f"edge_wide_{self.lies}", **place, value=self.allowance)

    def done(self, doc: Document) -> Document:
        path = piece_path(doc, self.piece)
        values = {"allowance": self.allowance, "finish": self.finish}
        before = lies_of(doc.value(path), self.edge)
        if self.lies is Lies.HEM and before is not Lies.HEM:
            given = {key: value for key, value in values.items() if value is not None}
            doc = with_lies(doc, path, self.edge, Lies.SEWN)
            return with_hem(doc, path, self.edge, given)
        doc = with_lies(doc, path, self.edge, self.lies)
        if self.lies in (Lies.FOLD, Lies.RAW):
            return doc
        for key, value in values.items():
            doc = put_edge_value(doc, path, self.edge, key, value)
        return doc

    def refuse_unmet(self, pattern: Pattern) -> None:
        piece = next(piece for piece in pattern.pieces if piece.name == self.piece)
        rings = (*piece.outlines, *piece.stitch)
        found = {e.lies for ring in rings for e in ring.edges if e.letter == self.edge}
        if found and self.lies not in found:
            raise PatternError(
                f"the drawing itself says that the edge is {'/'.join(sorted(found))}",
                where=f"{self.piece}, edge {self.edge}",
                remedy=f"Change it in {piece.drawing}.",
            )


@dataclass(frozen=True, slots=True)
class EdgeNamed(Change):
    """The name of an edge.

    Args:
        piece: Name of the piece.
        edge: Letter of the edge.
        name: Empty for none.
    """

    piece: str
    edge: str
    name: str

    @property
    def label(self) -> Label:
        return Label.of("edge_named", piece=self.piece, edge=self.edge, value=self.name)

    def done(self, doc: Document) -> Document:
        path = (*piece_path(doc, self.piece), "names")
        spelling = key_of(piece_in(doc, self.piece).get("names"), self.edge)
        if self.name:
            return put(doc, (*path, spelling), self.name)
        return take_tidily(doc, (*path, spelling))


@dataclass(frozen=True, slots=True)
class StyleEdges(Change):
    """The edges of a piece that a style has of its own.

    Args:
        piece: Name of the piece.
        style: Name of the style.
        edges: Letters; none to have no edge of its own.
    """

    piece: str
    style: str
    edges: tuple[str, ...]

    @property
    def label(self) -> Label:
        return Label.of(
            "style_edges", piece=self.piece, style=self.style, value=", ".join(self.edges)
        )

    def done(self, doc: Document) -> Document:
        path = (*piece_path(doc, self.piece), "styles", self.style)
        if tuple(letters(doc.value(path))) == self.edges:
            return doc
        if not self.edges:
            return take_tidily(doc, path)
        return put(doc, path, self.edges[0] if len(self.edges) == 1 else list(self.edges))
