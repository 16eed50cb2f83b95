"""Lines and marks of several stitch lines, each drawn once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

from tiler.pattern.model import AND, Line, Mark, styles_in

Drawn = TypeVar("Drawn", Line, Mark)


def merged(groups: Sequence[Sequence[Drawn]], styles: Sequence[str]) -> list[Drawn]:
    """What the stitch lines of several styles carry, each thing once.

    Args:
        groups: For each stitch line, what it carries.
        styles: The style of each stitch line, or the empty one of a single line.

    Returns:
        In the order of first appearance. What all carry keeps its style; what some carry gets
        the styles of those.
    """
    if len(groups) == 1:
        return list(groups[0])
    found: dict[Drawn, list[str]] = {}
    for group, style in zip(groups, styles, strict=True):
        for thing in dict.fromkeys(group):
            own = styles_in(thing.style)
            if own and style not in own and not set(own).isdisjoint(styles):
                continue
            # What is of this style alone is the same as what all share when all have it.
            plain = replace(thing, style="") if thing.style == style else thing
            found.setdefault(plain, []).append(style)
    made: list[Drawn] = []
    for thing, have in found.items():
        if thing.style or len(have) == len(styles):
            made.append(thing)
        else:
            made.append(replace(thing, style=AND.join(have)))
    return made
