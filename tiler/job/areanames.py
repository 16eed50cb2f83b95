"""Names for the areas that lines on a photo enclose: ``long=ABC``."""

from __future__ import annotations

from collections.abc import Iterable

from tiler.pattern.errors import MeasureError


def areas_said(what: str, words: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """Names with what stands behind the equals sign.

    Args:
        what: --style or --piece.
        words: Such as ``long=ABC``.

    Raises:
        MeasureError: One has no name or nothing behind it, or a name comes twice.
    """
    found: dict[str, str] = {}
    for each in words:
        name, _, letters = (part.strip() for part in each.partition("="))
        if not name or not letters:
            raise MeasureError(
                f"{each!r} is no name with letters",
                where=what,
                remedy=f"Write it like {what} long=ABC.",
            )
        if what == "--style" and any(letter in " \t,;" for letter in name):
            raise MeasureError(
                f"the style {name!r} is more than one word",
                where=what,
                remedy="Give the style a name of one word.",
            )
        if name in found:
            raise MeasureError(
                f"{name} is said twice", where=what, remedy="Write all its letters once."
            )
        found[name] = letters
    return tuple(found.items())
