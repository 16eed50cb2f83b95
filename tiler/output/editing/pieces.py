"""Changes of a whole piece."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from tiler.output.editing.change import Change, piece_path
from tiler.output.editing.document import Document
from tiler.output.editing.label import Label
from tiler.output.editing.putting import put
from tiler.output.editing.spelling import said
from tiler.output.editing.tidying import take_tidily

#: What a piece says in one word or length.
PIECE_KEYS = (
    "allowance",
    "part",
    "side",
    "paper",
    "traced",
    "press_darts",
    "stitch_line",
)


@dataclass(frozen=True, slots=True)
class PieceSays(Change):
    """One thing that is said of a piece in a word or length.

    Args:
        piece: Name of the piece.
        key: One of `PIECE_KEYS`.
        value: As it is written; None to leave it open.
    """

    piece: str
    key: str
    value: str | bool | None

    def __post_init__(self) -> None:
        if self.key not in PIECE_KEYS:
            raise ValueError(self.key)

    @property
    def label(self) -> Label:
        return Label.of(f"piece_{self.key}", piece=self.piece, value=said(self.value))

    def done(self, doc: Document) -> Document:
        return put(doc, (*piece_path(doc, self.piece), self.key), self.value)


@dataclass(frozen=True, slots=True)
class PieceNotes(Change):
    """The maker's words for a piece.

    Args:
        piece: Name of the piece.
        notes: All of them.
    """

    piece: str
    notes: tuple[str, ...]

    @property
    def label(self) -> Label:
        return Label.of("piece_notes", piece=self.piece)

    def done(self, doc: Document) -> Document:
        return put_texts(doc, (*piece_path(doc, self.piece), "notes"), self.notes)


@dataclass(frozen=True, slots=True)
class CutWords:
    """One line of a cutting instruction.

    Args:
        count: How many pieces.
        lay: fold, pair or copies.
        cloth: Name of the cloth; empty for none.
    """

    count: int
    lay: str
    cloth: str = ""

    def data(self) -> dict[str, Any]:
        """As the file has it."""
        cloth = {"cloth": self.cloth} if self.cloth else {}
        return {"count": self.count, **cloth, "lay": self.lay}


@dataclass(frozen=True, slots=True)
class PieceCuts(Change):
    """How many of a piece are cut, from what, and how it lies.

    Args:
        piece: Name of the piece.
        cuts: All lines; none to leave it open.
    """

    piece: str
    cuts: tuple[CutWords, ...]

    @property
    def label(self) -> Label:
        counts = " + ".join(f"{cut.count} × {cut.cloth or cut.lay}" for cut in self.cuts)
        return Label.of("piece_cut", piece=self.piece, value=counts)

    def done(self, doc: Document) -> Document:
        path = (*piece_path(doc, self.piece), "cut")
        there = doc.value(path)
        cuts = [cut.data() for cut in self.cuts]
        if not cuts:
            return put(doc, path, None)
        if len(cuts) == 1 and not isinstance(there, list):
            return put(doc, path, cuts[0])
        if isinstance(there, list) and len(cuts) > 1:
            return put(doc, path, cuts)
        if isinstance(there, list) and len(there) == 1:
            return put(doc, (*path, 0), cuts[0])
        if isinstance(there, list) or there is None:
            return put(doc, path, cuts if len(cuts) > 1 else cuts[0])
        from tiler.output.editing.lists import added

        doc = put(doc, path, cuts[0])
        for cut in cuts[1:]:
            doc = added(doc, path, cut)
        return doc


@dataclass(frozen=True, slots=True)
class PieceGrain(Change):
    """How the grain runs.

    Args:
        piece: Name of the piece.
        along: Letter of an edge, or "fold"; None to have it as it is drawn.
        turn: Degrees from the edge, such as ``45 deg``; empty for none.
    """

    piece: str
    along: str | None
    turn: str = ""

    @property
    def label(self) -> Label:
        value = ", ".join(part for part in (self.along or "", self.turn) if part)
        return Label.of("piece_grain", piece=self.piece, value=value)

    def done(self, doc: Document) -> Document:
        path = (*piece_path(doc, self.piece), "grain")
        if self.along is None:
            return put(doc, path, None)
        there = doc.value(path)
        table = {"along": self.along, **({"turn": self.turn} if self.turn else {})}
        return put(doc, path, table if self.turn or isinstance(there, dict) else self.along)


@dataclass(frozen=True, slots=True)
class PieceNamed(Change):
    """The name of a piece, also where seams, notches, lists of pieces and places name it.

    Args:
        piece: Its name so far.
        name: Its new name.
    """

    piece: str
    name: str

    @property
    def label(self) -> Label:
        return Label.of("piece_named", piece=self.piece, value=self.name)

    def done(self, doc: Document) -> Document:
        path = piece_path(doc, self.piece)
        for number, seam in enumerate(doc.data.get("seam", [])):
            doc = put(doc, ("seam", number, "join"), self._edges(seam.get("join")))
        for number, piece in enumerate(doc.data.get("piece", [])):
            notches = piece.get("notches")
            if isinstance(notches, list):
                for nth, notch in enumerate(notches):
                    if "meets" in notch:
                        meets = ("piece", number, "notches", nth, "meets")
                        doc = put(doc, meets, self._edges(notch["meets"]))
            elif isinstance(notches, dict) and "meets" in notches:
                only = ("piece", number, "notches", "meets")
                doc = put(doc, only, self._edges(notches["meets"]))
        for key in ("joined", "keep_together"):
            doc = put(doc, (key,), self._names(doc.data.get(key)))
        for number, placed in enumerate(doc.data.get("placed", [])):
            for nth, each in enumerate(placed["pieces"]):
                there = ("placed", number, "pieces", nth, "piece")
                doc = put(doc, there, self._names(each["piece"]))
        return put(doc, (*path, "name"), self.name)

    def _edges(self, value: Any) -> Any:
        if isinstance(value, list):
            return [self._edges(each) for each in value]
        if not isinstance(value, str):
            return value
        name, _, letter = value.rpartition(".")
        return f"{self.name}.{letter}" if name.strip() == self.piece else value

    def _names(self, value: Any) -> Any:
        if isinstance(value, list):
            return [self._names(each) for each in value]
        return self.name if value == self.piece else value


def put_texts(doc: Document, path: tuple[str | int, ...], texts: tuple[str, ...]) -> Document:
    """A list of texts, or the only one where the file has it so."""
    there = doc.value(path)
    if not texts:
        if isinstance(there, list):
            for number in reversed(range(len(there))):
                doc = take_tidily(doc, (*path, number))
            return doc
        return put(doc, path, None)
    if isinstance(there, str) and len(texts) == 1:
        return put(doc, path, texts[0])
    return put(doc, path, list(texts))
