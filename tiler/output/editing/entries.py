"""Notches, darts and marks of a piece: added, changed, taken away."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, ClassVar

from tiler.output.editing.change import Change, piece_path
from tiler.output.editing.document import Document
from tiler.output.editing.label import Label
from tiler.output.editing.lists import added
from tiler.output.editing.nodes import Path
from tiler.output.editing.putting import put
from tiler.output.editing.spelling import mark, said
from tiler.output.editing.tidying import take_tidily
from tiler.pattern.errors import PatternError


@dataclass(frozen=True, slots=True)
class NotchWords:
    """A notch as it is written; empty and None for what is left out.

    Args:
        edge: Letter of the edge.
        at: A length or a share.
        start: "start" or "end", from where `at` is counted.
        meets: The edge whose notches it meets, such as ``Front.D``, in place of `at`.
        count: 1 or 2.
        shape: slit or wedge.
    """

    KEY: ClassVar[str] = "notches"
    edge: str
    at: str = ""
    start: str = ""
    meets: str = ""
    count: int | None = None
    shape: str = ""

    def data(self) -> dict[str, Any]:
        """As the file has it."""
        return _given(
            edge=self.edge,
            at=self.at,
            **{"from": self.start},
            meets=self.meets,
            count=self.count,
            shape=self.shape,
        )


@dataclass(frozen=True, slots=True)
class DartWords:
    """A dart in an edge as it is written; empty and None for what is left out.

    Args:
        edge: Letter of the edge.
        at: A length or a share.
        length: From the stitch line to the tip.
        pressed: Letter of the edge towards which it is pressed.
        start: "start" or "end", from where `at` is counted.
        intake: How wide it is; empty when readings off a checked cloth say it.
        flat: One repeat of the check, flat.
        sewn: The same across the sewn dart.
        repeats: Over how many repeats.
        gives: Letter of the edge that moves out.
        blend: Over which length.
        slant: How far it leans.
    """

    KEY: ClassVar[str] = "darts"
    edge: str
    at: str
    length: str
    pressed: str
    start: str = ""
    intake: str = ""
    flat: str = ""
    sewn: str = ""
    repeats: int | None = None
    gives: str = ""
    blend: str = ""
    slant: str = ""

    def data(self) -> dict[str, Any]:
        """As the file has it."""
        cloth = _given(flat=self.flat, sewn=self.sewn, repeats=self.repeats)
        return _given(
            edge=self.edge,
            at=self.at,
            **{"from": self.start},
            length=self.length,
            intake=self.intake,
            cloth=cloth or None,
            pressed=self.pressed,
            gives=self.gives,
            blend=self.blend,
            slant=self.slant,
        )


@dataclass(frozen=True, slots=True)
class FisheyeWords:
    """A dart with two tips as it is written.

    Args:
        beside: Letter of the edge that it lies along.
        at: Where its widest place is, a length or a share.
        inside: How far in from the edge.
        intake: How wide it is.
        lengths: To the tip ahead and to the one behind.
        start: "start" or "end", from where `at` is counted.
    """

    KEY: ClassVar[str] = "darts"
    beside: str
    at: str
    inside: str
    intake: str
    lengths: tuple[str, str]
    start: str = ""

    @property
    def edge(self) -> str:
        """The edge that it is counted along."""
        return self.beside

    def data(self) -> dict[str, Any]:
        """As the file has it."""
        return _given(
            beside=self.beside,
            at=self.at,
            **{"from": self.start},
            inside=self.inside,
            intake=self.intake,
            lengths=list(self.lengths),
        )


@dataclass(frozen=True, slots=True)
class MarkWords:
    """A mark, or a row of them, as it is written.

    Args:
        kind: drill, button or buttonhole.
        edge: Letter of the edge.
        at: Where the first one is, a length or a share.
        inside: How far in from the edge.
        start: "start" or "end", from where `at` is counted.
        count: How many; None for one.
        apart: How far from one to the next.
        size: Of a button or buttonhole; empty for the usual.
    """

    KEY: ClassVar[str] = "marks"
    kind: str
    edge: str
    at: str
    inside: str
    start: str = ""
    count: int | None = None
    apart: str = ""
    size: str = ""

    def data(self) -> dict[str, Any]:
        """As the file has it."""
        return _given(
            kind=self.kind,
            edge=self.edge,
            at=self.at,
            **{"from": self.start},
            inside=self.inside,
            size=self.size,
            count=self.count,
            apart=self.apart,
        )


Words = NotchWords | DartWords | FisheyeWords | MarkWords


@dataclass(frozen=True, slots=True)
class AddEntry(Change):
    """One more notch, dart or row of marks.

    Args:
        piece: Name of the piece.
        words: What is added.
    """

    piece: str
    words: Words

    @property
    def label(self) -> Label:
        return _label("added", self.piece, self.words)

    def done(self, doc: Document) -> Document:
        path = (*piece_path(doc, self.piece), self.words.KEY)
        return added(doc, path, self.words.data())


@dataclass(frozen=True, slots=True)
class ChangeEntry(Change):
    """A notch, dart or row of marks that is another one.

    Args:
        piece: Name of the piece.
        number: Which one in the file, from 0.
        words: What it is now.
    """

    piece: str
    number: int
    words: Words

    @property
    def label(self) -> Label:
        return _label("changed", self.piece, self.words)

    def done(self, doc: Document) -> Document:
        path = entry_path(doc, self.piece, self.words.KEY, self.number)
        return put(doc, path, self.words.data())

    def moved(self, base: Document, now: Document) -> ChangeEntry | None:
        number = _found_again(base, now, self.piece, self.words.KEY, self.number)
        return None if number is None else replace(self, number=number)


@dataclass(frozen=True, slots=True)
class RemoveEntry(Change):
    """A notch, dart or row of marks that is taken away.

    Args:
        piece: Name of the piece.
        key: notches, darts or marks.
        number: Which one in the file, from 0.
    """

    piece: str
    key: str
    number: int

    @property
    def label(self) -> Label:
        return Label.of(f"{self.key}_removed", piece=self.piece)

    def done(self, doc: Document) -> Document:
        return take_tidily(doc, entry_path(doc, self.piece, self.key, self.number))

    def moved(self, base: Document, now: Document) -> RemoveEntry | None:
        number = _found_again(base, now, self.piece, self.key, self.number)
        return None if number is None else replace(self, number=number)


def entry_path(doc: Document, piece: str, key: str, number: int) -> Path:
    """Where an entry of a piece stands.

    Raises:
        PatternError: There is none of that number.
    """
    path = (*piece_path(doc, piece), key)
    found = doc.value(path)
    if isinstance(found, dict) and number == 0:
        return path
    if not isinstance(found, list) or not 0 <= number < len(found):
        raise PatternError(
            f"there is no {number + 1}. entry of {key}", where=piece, remedy="Open the piece again."
        )
    return (*path, number)


def same_again(base: list[Any], now: list[Any], number: int) -> int | None:
    """Where an entry of a list stands in another list: the nearest of those that are equal."""
    if not 0 <= number < len(base):
        return None
    wanted = mark(base[number])
    places = [n for n, each in enumerate(now) if mark(each) == wanted]
    return min(places, key=lambda n: abs(n - number), default=None)


def _found_again(base: Document, now: Document, piece: str, key: str, number: int) -> int | None:
    def entries(doc: Document) -> list[Any]:
        found = doc.value((*piece_path(doc, piece), key))
        return found if isinstance(found, list) else [] if found is None else [found]

    return same_again(entries(base), entries(now), number)


def _label(what: str, piece: str, words: Words) -> Label:
    place = words.meets if isinstance(words, NotchWords) and words.meets else words.at
    return Label.of(f"{words.KEY}_{what}", piece=piece, edge=words.edge, value=said(place))


def _given(**values: Any) -> dict[str, Any]:
    return {key: value for key, value in values.items() if value not in ("", None)}
