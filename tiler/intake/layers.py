"""The lines of a drawing that belong to one piece."""

from __future__ import annotations

from tiler.intake.drawn import DrawnPath, DrawnSheet, Unseen
from tiler.intake.tomltable import near_miss
from tiler.intake.words.model import PieceWords
from tiler.pattern.errors import PatternError

_REMEDIES = {
    Unseen.HIDDEN: "Show the layer and what is in it in the editor, and save the drawing again.",
    Unseen.UNPAINTED: "Give its lines a stroke, or a class such as cut or stitch.",
    Unseen.BACKGROUND: "Give the shape a class such as cut or stitch if it is the piece.",
    Unseen.IGNORED: "Take the class ignore away, or name another layer.",
}


def lines_of(sheet: DrawnSheet, words: PieceWords) -> list[DrawnPath]:
    """The lines in the layer that the words name, or all of them.

    Args:
        sheet: The drawing.
        words: What the pattern file says of the piece.

    Raises:
        PatternError: No line is in that layer; the message says whether it is hidden.
    """
    paths = [path for path in sheet.paths if path.path.segments]
    if not words.layer:
        return paths
    found = [path for path in paths if words.layer in path.layers]
    if found:
        return found
    where = f"{words.where}, key layer"
    why = sheet.unseen.get(words.layer)
    if why is not None:
        raise PatternError(
            f'the layer "{words.layer}" of the drawing {sheet.name} has no lines to be seen: {why}',
            where=where,
            remedy=_REMEDIES[why],
        )
    layers = dict.fromkeys(layer for path in paths for layer in path.layers)
    raise PatternError(
        f'the drawing {sheet.name} has no lines in a layer "{words.layer}"',
        where=where,
        remedy=near_miss(words.layer, [*layers, *sheet.unseen][:40]),
    )
