"""The pieces of a drawing of which nobody has said yet how many it holds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tiler.intake.drawn import DrawnPath, DrawnSheet
from tiler.intake.piece import piece_from
from tiler.intake.tomltable import NAME_LIMIT
from tiler.intake.words.model import PieceWords
from tiler.pattern.errors import DrawingError


def layers_apart(sheet: DrawnSheet) -> tuple[str, ...]:
    """The layers that hold a piece each, in drawing order; one empty name for the whole drawing.

    A drawing that reads as one piece is one, whatever its layers are. One that does not, since
    several of its outlines could be the piece, is taken apart at its outermost layers, and at
    those inside of a layer that holds no single piece either. Layers without an outline are left.

    Raises:
        DrawingError: The drawing is no piece, and no two of its layers are.
    """
    try:
        _read(sheet, "")
    except DrawingError:
        found = tuple(_pieces(sheet, range(len(sheet.paths))))
        if len(found) < 2:
            raise
        return found
    return ("",)


def _read(sheet: DrawnSheet, layer: str) -> None:
    piece_from(sheet, PieceWords(layer or sheet.name, sheet.name, layer, where=sheet.name))


def _pieces(sheet: DrawnSheet, within: Sequence[int]) -> Iterator[str]:
    for layer, paths in _outermost(sheet.paths, within):
        try:
            _read(sheet, layer)
        except DrawingError:
            yield from _pieces(sheet, paths)
        else:
            yield layer


def _outermost(
    paths: Sequence[DrawnPath], within: Sequence[int]
) -> list[tuple[str, tuple[int, ...]]]:
    """The largest layers that hold some of these lines, but not all, none inside another."""
    held: dict[str, list[int]] = {}
    for nth in within:
        for layer in dict.fromkeys(paths[nth].layers):
            if _sayable(layer):
                held.setdefault(layer, []).append(nth)
    # A layer's own name comes after its id, and is what its maker sees: it goes first here.
    largest = list(reversed(held.items()))
    largest.sort(key=lambda each: len(each[1]), reverse=True)
    taken: set[int] = set()
    found = []
    for layer, lines in largest:
        if len(lines) < len(within) and not taken & set(lines):
            taken.update(lines)
            found.append((layer, tuple(lines)))
    return sorted(found, key=lambda each: each[1])


def _sayable(layer: str) -> bool:
    """Whether the pattern file can name it."""
    return layer == " ".join(layer.split()) and len(layer) <= NAME_LIMIT and layer.isprintable()
