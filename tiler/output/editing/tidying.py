"""Tables and lists that have become empty."""

from __future__ import annotations

from tiler.output.editing.document import Document
from tiler.output.editing.nodes import Path
from tiler.output.editing.putting import take


def take_tidily(doc: Document, path: Path) -> Document:
    """Take away what stands under a path, and the table or list around it when it is empty then.

    One that holds remarks is left, and so is one with a header of its own.
    """
    doc = take(doc, path)
    holder = path[:-1]
    left = doc.value(holder)
    spot = doc.spot(holder) if len(holder) > 0 else None
    if left or left is None or spot is None:
        return doc
    return doc if "#" in doc.text[spot.node.start : spot.node.end] else take(doc, holder)
