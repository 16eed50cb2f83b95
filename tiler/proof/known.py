"""Which lines of the pattern a row of nested layers holds, as the record has it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tiler.proof.layers import Layer
from tiler.proof.record import Record
from tiler.proof.verdict import Fault

USE_WORDS = {"marks": "the page marks", "words": "the words on the pieces"}
#: A piece, and the styles whose own lines these are; no styles for what all share.
Holding = tuple[str, frozenset[str]]


@dataclass(frozen=True, slots=True)
class Known:
    """The layers of a file, and what the record says that they switch.

    Args:
        layers: The file's layers by their keys.
        pieces: Name of a layer -> the piece that it switches.
        styles: Name of a layer -> the style that it switches.
        uses: Name of a layer -> what it holds beside lines of the pattern, ``marks`` or ``words``.
    """

    layers: tuple[Layer, ...]
    pieces: dict[str, str]
    styles: dict[str, str]
    uses: dict[str, str]

    @classmethod
    def of(cls, record: Record, layers: tuple[Layer, ...]) -> Known:
        """What a record says of the layers of its file."""
        pieces = {entry.layer: entry.piece for entry in record.layers if entry.piece}
        styles = {entry.layer: entry.style for entry in record.layers if entry.style}
        uses = {entry.layer: entry.use for entry in record.layers if entry.use}
        return cls(layers, pieces, styles, uses)

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
        uses = [self.uses.get(name, "") for name in self._names(chain)]
        if any(uses):
            words = USE_WORDS[next(filter(None, uses))]
            return f"lines of the pattern are drawn in the layer of {words}, and would go with it"
        if not chain or chain[-1] < 0 or not self.words(chain):
            return "lines are drawn outside the pattern's layers"
        return f"lines are drawn in a layer {self.words(chain)!r} that the record does not know"

    def stays(self, chain: Sequence[int]) -> bool:
        """Whether what hangs in a row of layers shows as long as page marks do."""
        return all(key >= 0 and self.uses.get(self.layers[key].name) == "marks" for key in chain)

    def of_piece(self, chain: Sequence[int]) -> bool:
        """Whether a row of layers is, or lies in, the layer of a piece."""
        return any(name in self.pieces for name in self._names(chain))

    def _names(self, chain: Sequence[int]) -> list[str]:
        """The names of all layers in a row, each member of several for itself."""
        keys = [k for key in chain if key >= 0 for k in self.layers[key].members or (key,)]
        return [self.layers[key].name for key in keys]

    def faults(self, record: Record) -> list[Fault]:
        """Layers that are off or may go off by themselves, and such as should be there."""
        faults = [
            Fault(
                "hidden",
                layer.name or "a layer without a name",
                "the layer is off, or may be, when the file is opened or printed",
            )
            for layer in self.layers
            if not layer.shows and not layer.members
        ]
        there = {layer.name for layer in self.layers if not layer.members}
        for use, words in USE_WORDS.items():
            names = [entry.layer for entry in record.layers if entry.use == use]
            if not names:
                faults.append(Fault("layer", "", f"the record names no layer for {words}"))
            elif names[0] not in there:
                faults.append(Fault("layer", names[0], f"the file has no such layer for {words}"))
        return faults
