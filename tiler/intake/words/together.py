"""Pieces that are to lie on one sheet."""

from __future__ import annotations

from collections.abc import Collection

from tiler.intake.tomltable import TomlTable, near_miss

KEY = "keep_together"
_REMEDY = f'Write {KEY} = [["Front", "Front facing"]].'


def together_in(top: TomlTable, pieces: Collection[str]) -> tuple[tuple[str, ...], ...]:
    """The groups of pieces that are kept together.

    Args:
        top: The whole file.
        pieces: Names of all pieces.

    Raises:
        PatternError: Not lists of names, an unknown piece, one that is named twice, or a group of
            fewer than two.
    """
    value = top.data.get(KEY, [])
    if not isinstance(value, list) or not all(isinstance(each, list) for each in value):
        raise top.error(f"{KEY} is not a list of groups, each a list of names", KEY, _REMEDY)
    groups = tuple(top.listed(KEY, each) for each in value)
    seen: dict[str, int] = {}
    for number, group in enumerate(groups):
        for name in group:
            if name not in pieces:
                raise top.error(f'there is no piece "{name}"', KEY, near_miss(name, pieces))
            if seen.get(name) == number:
                raise top.error(f'"{name}" stands twice in one group', KEY, "Name it once.")
            if name in seen:
                raise top.error(f'"{name}" stands in two groups', KEY, "Make one group of the two.")
            seen[name] = number
        if len(group) < 2:
            raise top.error(
                f'the group of "{group[0]}" has no other piece' if group else "a group is empty",
                KEY,
                "Name the pieces that are to lie beside each other, or take the group out.",
            )
    return groups
