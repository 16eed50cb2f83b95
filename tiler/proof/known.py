"""Which lines of the pattern a row of nested layers holds, as the record has it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tiler.proof.layers import Layer
from tiler.proof.record import Record

#: A piece, and the styles whose own lines these are; no styles for what all share.
Holding = tuple[str, frozenset[str]]


@dataclass(frozen=True, slots=True)
class Known:
    """The layers of a file, and what the record says that they switch.

    Args:
        layers: The file's layers by their keys.
        pieces: Name of a layer -> the piece that it switches.
        styles: Name of a layer -> the style that it switches.
    """

    layers: tuple[Layer, ...]
    pieces: dict[str, str]
    styles: dict[str, str]

    @classmethod
    def of(cls, record: Record, layers: tuple[Layer, ...]) -> Known:
        """What a record says of the layers of its file."""
        pieces = {entry.layer: entry.piece for entry in record.layers if entry.piece}
        styles = {entry.layer: entry.style for entry in record.layers if entry.style}
        return cls(layers, pieces, styles)

    def holds(self, chain: Sequence[int]) -> Holding | None:
        """What stands in a row of layers, from the outside in.

        A piece's layer alone holds what all its styles share; a style's layer in it, that
        style's own; a membership in several styles' layers, what these share. Nothing else
        holds lines of the pattern: None.
        """
        if not 1 <= len(chain) <= 2 or min(chain) < 0:
            return None
        piece = self.pieces.get(self.layers[chain[0]].name)
        if piece is None or self.layers[chain[0]].members:
            return None
        if len(chain) == 1:
            return piece, frozenset()
        inner = self.layers[chain[1]]
        names = [self.layers[key].name for key in inner.members] or [inner.name]
        styles = [self.styles.get(name) for name in names]
        if None in styles or len(set(styles)) < len(styles):
            return None
        return piece, frozenset(style for style in styles if style)

    def words(self, chain: Sequence[int]) -> str:
        """What a row of layers is called, from the outside in."""
        return " > ".join(self._name(key) for key in chain)

    def _name(self, key: int) -> str:
        if key < 0:
            return "?"
        layer = self.layers[key]
        return " or ".join(self.layers[k].name for k in layer.members) or layer.name

    def stranger(self, chain: Sequence[int]) -> str:
        """What is wrong with a row of layers that holds no lines of the pattern."""
        if not chain or chain[-1] < 0 or not self.words(chain):
            return "lines are drawn outside the pattern's layers"
        return f"lines are drawn in a layer {self.words(chain)!r} that the record does not know"

    def off(self, chain: Sequence[int]) -> list[str]:
        """The layers of a row that do not show when the file is opened."""
        names = []
        for key in chain:
            members = () if key < 0 else self.layers[key].members or (key,)
            names += [self.layers[k].name for k in members if not self.layers[k].shows]
            names += [""] if key < 0 else []
        return names
