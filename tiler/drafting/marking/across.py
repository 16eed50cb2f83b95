"""Marks that several styles have at the same place, kept once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from tiler.pattern.model import AND, Mark, styles_in

#: Marks whose places and ends lie this near (millimetres) are the same mark.
_SAME = 1e-3


def once(marks: Iterable[Mark], styles: Sequence[str]) -> tuple[Mark, ...]:
    """The marks of single styles, each place once.

    Args:
        marks: Each with one style, or with the empty one where there are no styles.
        styles: Those of the piece's outlines, in order.

    Returns:
        Marks in the order of their first appearance; `style` is empty where all styles have the
        mark, else it names those that do, joined by `AND`.
    """
    groups: list[tuple[Mark, set[str]]] = []
    for mark in marks:
        named = set(styles_in(mark.style)) or set(styles)
        for first, have in groups:
            if _same(first, mark):
                have |= named
                break
        else:
            groups.append((mark, named))
    return tuple(replace(mark, style=_key(have, styles)) for mark, have in groups)


def _key(have: set[str], styles: Sequence[str]) -> str:
    if have >= set(styles):
        return ""
    return AND.join(style for style in styles if style in have)


def _same(one: Mark, other: Mark) -> bool:
    return (
        one.role is other.role
        and one.at.to(other.at) <= _SAME
        and one.path.start.to(other.path.start) <= _SAME
        and one.path.end.to(other.path.end) <= _SAME
    )
