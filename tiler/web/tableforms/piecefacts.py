"""What the forms of a piece and of the whole pattern show."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tiler.web.tableforms.edgefacts import all_edges, seam_facts

if TYPE_CHECKING:
    from tiler.pattern.model import Pattern, Piece
    from tiler.web.asking import Asked
    from tiler.web.tableforms.panel import Shown


def piece_facts(
    asked: Asked,
    pattern: Pattern,
    piece: Piece,
    file: dict[str, Any],
    said: dict[str, Any],
    shown: Shown,
) -> dict[str, Any]:
    """Name, cut, grain, allowance, notes, marks, and what it lies together with."""
    grain = said.get("grain", "")
    table = grain if isinstance(grain, dict) else {"along": grain}
    cut = said.get("cut", [])
    notes = said.get("notes", [])
    edges = piece.outlines[0].edges
    marks = said.get("marks", [])
    return {
        "cuts": cut if isinstance(cut, list) else [cut],
        "cloths": [name for name, _ in pattern.cloths],
        "named_cloths": lambda names: [(name, name) for name in names],
        "along": str(table.get("along", "")),
        "turn": str(table.get("turn", "")),
        "notes": notes if isinstance(notes, list) else [notes],
        "edges": [(edge.letter, edge.name) for edge in edges],
        "allowance": said.get("allowance", ""),
        "usual": file.get("allowance", ""),
        "groups": [
            (key, list(group))
            for key in ("joined", "keep_together")
            for group in file.get(key, [])
            if piece.name in group
        ],
        "others": [each.name for each in pattern.pieces if each.name != piece.name],
        "mark_count": len(marks) if isinstance(marks, list) else 1,
    }


def whole_facts(asked: Asked, pattern: Pattern, file: dict[str, Any]) -> dict[str, Any]:
    """Title, allowance, cloths, styles, measurements, seams, and words for the hand-over."""
    stretch, cutting = file.get("stretch", {}), file.get("cutting", {})
    used = dict.fromkeys(cut.cloth for piece in pattern.pieces for cut in piece.cuts if cut.cloth)
    described = file.get("cloth", {})
    cloths = {**described, **{name: "" for name in used if name not in described}}
    return {
        "cloths": [
            (name, words, stretch.get(name, ""), _cloth(cutting.get(name, {})))
            for name, words in cloths.items()
        ],
        "styles": list(file.get("style", {}).items()),
        "drawn_styles": [name for name, _ in pattern.styles],
        "finished": [
            (name, value if isinstance(value, dict) else {"": value})
            for name, value in file.get("finished", {}).items()
        ],
        "seams": seam_facts(pattern, file),
        "all_edges": all_edges(asked, pattern),
        "seam_open": asked.query("seam"),
        "texts": {key: _listed(file.get(key, [])) for key in ("licence", "notions", "sewing")},
    }


def _cloth(facts: dict[str, Any]) -> dict[str, Any]:
    shrinks, repeat = (_pair(facts.get(key, "")) for key in ("shrinkage", "repeat"))
    nap = facts.get("nap")
    return {
        "avoid": facts.get("avoid", ""),
        "width": facts.get("width", ""),
        "nap": "" if nap is None else "yes" if nap else "no",
        "shrinks_along": shrinks[0],
        "shrinks_across": shrinks[1],
        "repeat_along": repeat[0],
        "repeat_across": repeat[1],
    }


def _pair(value: Any) -> tuple[str, str]:
    if isinstance(value, list):
        return str(value[0]), str(value[-1])
    return str(value), str(value)


def _listed(value: Any) -> list[str]:
    return value if isinstance(value, list) else [value]
