"""The layers of a publication: what a reader of the file can switch off."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from tiler.pattern.model import Line, Mark, Pattern, Piece, Run, styles_in
from tiler.sheets.words import say


@dataclass(frozen=True)
class LayerNames:
    """The name of each layer; no name is there twice.

    Args:
        styles: Style -> its layer, which has the style's own name.
        pieces: Piece -> its layer, which has the piece's own name unless a style has it.
        marks: The layer of crosses, joints, bars and whatever else is for taping.
        words: The layer of all words on the pieces.
    """

    styles: dict[str, str]
    pieces: dict[str, str]
    marks: str
    words: str

    def of(self, key: str) -> tuple[str, ...]:
        """The layers of the styles that a style key names."""
        return tuple(self.styles[style] for style in styles_in(key))

    @property
    def listed(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """All layers under their headings, in the order in which a reader lists them."""
        parts = (
            (say("layers_styles"), tuple(self.styles.values())),
            (say("layers_pieces"), tuple(self.pieces.values())),
            (say("layers_beside"), (self.marks, self.words)),
        )
        return tuple((heading, names) for heading, names in parts if names)

    @property
    def all(self) -> tuple[str, ...]:
        """Every layer, in the same order."""
        return tuple(name for _, names in self.listed for name in names)

    def only(self, pieces: Iterable[Piece]) -> LayerNames:
        """The layers that some of the pieces need, under the same names."""
        chosen = list(pieces)
        drawn = {s for piece in chosen for key in drawn_keys(piece) for s in styles_in(key)}
        return LayerNames(
            {style: name for style, name in self.styles.items() if style in drawn},
            {piece.name: self.pieces[piece.name] for piece in chosen},
            self.marks,
            self.words,
        )


def layer_names(pattern: Pattern) -> LayerNames:
    """A layer for each piece, for each style that has lines of its own, for marks and for words."""
    drawn = {s for piece in pattern.pieces for key in drawn_keys(piece) for s in styles_in(key)}
    order = dict.fromkeys((*(style for style, _ in pattern.styles), *sorted(drawn)))
    styles = {style: style for style in order if style in drawn}
    taken = set(styles)
    named = {piece.name: _free(piece.name, taken) for piece in pattern.pieces}
    marks, words = (_free(say(key), taken) for key in ("layers_marks", "layers_words"))
    return LayerNames(styles, named, marks, words)


def _free(wanted: str, taken: set[str]) -> str:
    name, count = wanted, 1
    while name in taken:
        count += 1
        name = f"{wanted} ({count})"
    taken.add(name)
    return name


def drawn_keys(piece: Piece) -> tuple[str, ...]:
    """The style keys of what is drawn for some styles only, single styles first."""
    things: tuple[Run | Line | Mark, ...] = (*piece.runs, *piece.lines, *piece.marks)
    drawn = {thing.style for thing in things}
    return tuple(key for key in piece.style_keys if key in drawn)
