"""What the layout decided, written into the file for whoever reads it back."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import PurePosixPath

from tiler import __version__
from tiler.layout.plan import Plan
from tiler.pattern.model import Pattern
from tiler.pattern.units import user_unit
from tiler.sheets.drawing import Attachment
from tiler.sheets.layers import LayerNames
from tiler.sheets.ways import Way

RECORD_NAME = "blocksheet.json"
#: 2: styles are layers of their own, inside the layers of the pieces. 3: how pages are joined,
#: which pieces are printed, and the layers of page marks and words. Large paper adds a head and a
#: unit, pages for one printer what they make up for; who does not know them cannot prove such a
#: file, and all others read as before.
RECORD_FORMAT = 3


_MEDIA_TYPES = {
    ".svg": "image/svg+xml",
    ".csv": "text/csv",
    ".dxf": "image/vnd.dxf",
    ".toml": "application/toml",
}


def source_files(pattern: Pattern) -> tuple[Attachment, ...]:
    """The pattern's own files, to be carried as the source of what is published.

    Media types are those registered with IANA.
    """
    return tuple(
        Attachment(
            source.name,
            source.content,
            "Source",
            _MEDIA_TYPES.get(PurePosixPath(source.name).suffix.lower(), "application/octet-stream"),
        )
        for source in pattern.sources
    )


def record(
    pattern: Pattern,
    plan: Plan,
    names: LayerNames,
    *,
    front: Sequence[str],
    styles: Sequence[str],
    pieces: Sequence[str],
    way: Way,
) -> bytes:
    """The record as JSON, lengths in millimetres.

    Args:
        pattern: What is published.
        plan: What is printed of it.
        names: The layers.
        front: Names of the pages before the pattern.
        styles: The styles that were chosen; empty for all.
        pieces: The pieces that were chosen; empty for all.
        way: How the pages are joined.
    """
    setup, grid = plan.grid.setup, plan.grid
    told: dict[str, object] = {
        "format": RECORD_FORMAT,
        "tool": f"blocksheet {__version__}",
        "title": pattern.title,
        "digest": pattern.digest,
        "paper": setup.paper.name,
        "page": [setup.width, setup.height],
        "margin": setup.margin,
        "overlap": setup.overlap,
        "window": list(setup.window),
        "pitch": list(setup.pitch),
        "joint": way.value,
        "rows": grid.rows,
        "columns": grid.columns,
        "front": list(front),
        "pages": [
            {
                "name": cell.name,
                "row": cell.row,
                "column": cell.column,
                "origin": list(grid.origin(cell)),
            }
            for cell in plan.cells
        ],
        "placements": [
            {"piece": placement.piece.name, "matrix": list(placement.at)}
            for placement in plan.placements
        ],
        "styles": list(styles),
        "pieces": list(pieces),
        "layers": [
            *({"layer": name, "style": style} for style, name in names.styles.items()),
            *({"layer": name, "piece": piece} for piece, name in names.pieces.items()),
            {"layer": names.marks, "use": "marks"},
            {"layer": names.words, "use": "words"},
        ],
    }
    if setup.printer:
        told["made_up"] = {"printer": setup.printer.name, "sent": [setup.sent.a, setup.sent.d]}
    if plan.head:
        told["head"] = list(plan.head)
    if (unit := user_unit(setup.width, setup.height)) > 1:
        told["unit"] = unit
    return json.dumps(told, ensure_ascii=False, separators=(",", ":")).encode()
