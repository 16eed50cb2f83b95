"""Changes of the whole pattern: its words, cloths, styles and what is handed over."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.output.editing.change import Change
from tiler.output.editing.document import Document
from tiler.output.editing.label import Label
from tiler.output.editing.pieces import put_texts
from tiler.output.editing.putting import put, take
from tiler.output.editing.spelling import said
from tiler.output.editing.tidying import take_tidily

#: What the head of the file says in one word, length or truth.
PATTERN_KEYS = (
    "title",
    "maker",
    "version",
    "about",
    "allowance",
    "traced",
    "traced_from",
    "traced_stretch",
    "notch",
    "stitch_line",
    "address",
    "language",
    "wearer",
    "cords",
    "small_parts",
)
#: What it says in lists of texts.
LISTS = ("licence", "notions", "sewing")
#: What is known of a cloth.
CLOTH_KEYS = ("avoid", "width", "nap", "shrinkage", "repeat")


@dataclass(frozen=True, slots=True)
class PatternSays(Change):
    """One thing that is said of the whole pattern.

    Args:
        key: One of `PATTERN_KEYS`.
        value: As it is written; None to leave it open.
    """

    key: str
    value: str | bool | None

    def __post_init__(self) -> None:
        if self.key not in PATTERN_KEYS:
            raise ValueError(self.key)

    @property
    def label(self) -> Label:
        return Label.of(f"pattern_{self.key}", value=said(self.value))

    def done(self, doc: Document) -> Document:
        return put(doc, (self.key,), self.value)


@dataclass(frozen=True, slots=True)
class PatternLists(Change):
    """What the pattern says in a list of texts.

    Args:
        key: One of `LISTS`.
        texts: All of them.
    """

    key: str
    texts: tuple[str, ...]

    def __post_init__(self) -> None:
        if self.key not in LISTS:
            raise ValueError(self.key)

    @property
    def label(self) -> Label:
        return Label.of(f"pattern_{self.key}")

    def done(self, doc: Document) -> Document:
        return put_texts(doc, (self.key,), self.texts)


@dataclass(frozen=True, slots=True)
class ClothSays(Change):
    """What a cloth is.

    Args:
        cloth: Its short name.
        words: What to buy; None to take the cloth away, with all that is known of it.
    """

    cloth: str
    words: str | None

    @property
    def label(self) -> Label:
        return Label.of("cloth", cloth=self.cloth, value=self.words)

    def done(self, doc: Document) -> Document:
        if self.words is None:
            doc = take_tidily(doc, ("stretch", self.cloth))
            doc = take_tidily(doc, ("cutting", self.cloth))
        return put(doc, ("cloth", self.cloth), self.words)


@dataclass(frozen=True, slots=True)
class ClothStretches(Change):
    """How far a cloth stretches.

    Args:
        cloth: Its short name.
        value: A share such as ``25 %``; None to leave it open.
    """

    cloth: str
    value: str | None

    @property
    def label(self) -> Label:
        return Label.of("cloth_stretch", cloth=self.cloth, value=self.value)

    def done(self, doc: Document) -> Document:
        if self.value is None:
            return take_tidily(doc, ("stretch", self.cloth))
        return put(doc, ("stretch", self.cloth), self.value)


@dataclass(frozen=True, slots=True)
class ClothFact(Change):
    """One thing that is known of a cloth, for buying it and for cutting.

    Args:
        cloth: Its short name.
        key: One of `CLOTH_KEYS`.
        value: As it is written, along and across where there are two; None to leave it open.
    """

    cloth: str
    key: str
    value: str | bool | tuple[str, str] | None

    def __post_init__(self) -> None:
        if self.key not in CLOTH_KEYS:
            raise ValueError(self.key)

    @property
    def label(self) -> Label:
        value = " × ".join(self.value) if isinstance(self.value, tuple) else said(self.value)
        return Label.of(f"cutting_{self.key}", cloth=self.cloth, value=value)

    def done(self, doc: Document) -> Document:
        path = ("cutting", self.cloth, self.key)
        if self.value is None:
            return take_tidily(doc, path)
        return put(doc, path, list(self.value) if isinstance(self.value, tuple) else self.value)


@dataclass(frozen=True, slots=True)
class StyleSays(Change):
    """What a style is.

    Args:
        style: Its name.
        words: What sets it apart; None to take the style away, on the pieces too.
    """

    style: str
    words: str | None

    @property
    def label(self) -> Label:
        return Label.of("style", style=self.style, value=self.words)

    def done(self, doc: Document) -> Document:
        if self.words is None:
            for number in range(len(doc.data.get("piece", []))):
                doc = take_tidily(doc, ("piece", number, "styles", self.style))
            for name, value in doc.data.get("finished", {}).items():
                if isinstance(value, dict):
                    doc = take_tidily(doc, ("finished", name, self.style))
        return put(doc, ("style", self.style), self.words)


@dataclass(frozen=True, slots=True)
class FinishedMeasure(Change):
    """A measurement of the finished garment.

    Args:
        name: What is measured.
        value: A length as it is written, for all styles, or style by style; None to take it away.
    """

    name: str
    value: str | tuple[tuple[str, str], ...] | None

    @property
    def label(self) -> Label:
        value = self.value
        words = ", ".join(each for _, each in value) if isinstance(value, tuple) else said(value)
        return Label.of("finished", name=self.name, value=words)

    def done(self, doc: Document) -> Document:
        path = ("finished", self.name)
        if not self.value:
            return take_tidily(doc, path)
        if isinstance(self.value, tuple):
            return put(doc, path, dict(self.value))
        if isinstance(doc.value(path), dict):
            doc = take(doc, path)
        return put(doc, path, self.value)
