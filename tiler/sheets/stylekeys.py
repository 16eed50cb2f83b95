"""Which styles, and which groups of styles, have cut lines of their own."""

from __future__ import annotations

from tiler.pattern.model import Lies, Pattern, Role, styles_in
from tiler.sheets.words import say


def cut_keys(pattern: Pattern) -> list[str]:
    """The style keys of cut lines: single styles in the pattern's order, then groups of them."""
    keys = {
        run.style
        for piece in pattern.pieces
        for run in piece.runs
        if run.role is Role.CUT and run.edge.lies is not Lies.FOLD
    }
    keys |= {
        line.style for piece in pattern.pieces for line in piece.lines if line.role is Role.CUT
    }
    order = {name: number for number, (name, _) in enumerate(pattern.styles)}

    def place(key: str) -> tuple[int, list[int], str]:
        names = styles_in(key)
        return len(names), [order.get(name, len(order)) for name in names], key

    return sorted(keys - {""}, key=place)


def key_words(key: str) -> str:
    """Such as ``cut here for style wide``, ``cut here for styles wide and narrow``."""
    *names, last = styles_in(key)
    if not names:
        return say("key_style", style=last)
    return say("key_styles", styles=", ".join(names), last=last)
