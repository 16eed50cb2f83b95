"""Places in the pattern file, taken out of what it says and put back.

A new line moves all that is said below it. What was made of the words does not depend on where they
stand, and would be done anew for nothing if it went by them.
"""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass, replace
from typing import Any, TypeVar

from tiler.intake.words.model import PatternWords
from tiler.pattern.model import Seam

Value = TypeVar("Value")

#: No name and no place holds it, since both can be printed.
_SIGN = "\0"
_STAND_IN = re.compile(f"{_SIGN}[^{_SIGN}]*{_SIGN}[0-9]+{_SIGN}")


class Unplaced:
    """The words of a pattern file with a stand-in for every place.

    Attributes:
        words: With a stand-in where a place was: what a piece or a seam is, and a number.
    """

    def __init__(self, words: PatternWords) -> None:
        self._places: dict[str, str] = {}
        self._stand_ins: dict[tuple[str, str], str] = {}
        self._counts: dict[str, int] = {}
        self.words = replace(
            words,
            pieces=tuple(self._taken(piece, piece.name) for piece in words.pieces),
            seams=tuple(self._taken(seam, _about(seam)) for seam in words.seams),
        )

    def placed(self, value: Value) -> Value:
        """A value with the places put back into its texts, at any depth."""
        found: Value = _changed(value, self._put_back)
        return found

    def _put_back(self, name: str, text: str) -> str:
        if _SIGN not in text:
            return text
        return _STAND_IN.sub(lambda found: self._places.get(found[0], found[0]), text)

    def _taken(self, value: Value, about: str) -> Value:
        def take(name: str, text: str) -> str:
            return self._stand_in(text, about) if text and name.endswith("where") else text

        found: Value = _changed(value, take)
        return found

    def _stand_in(self, place: str, about: str) -> str:
        known = self._stand_ins.get((about, place))
        if known is None:
            number = self._counts[about] = self._counts.get(about, 0) + 1
            known = f"{_SIGN}{about}{_SIGN}{number}{_SIGN}"
            self._stand_ins[about, place] = known
            self._places[known] = place
        return known


def _about(seam: Seam) -> str:
    return f"{' '.join(map(str, seam.first))} / {' '.join(map(str, seam.second))}"


def _changed(value: Any, change: Any, name: str = "") -> Any:
    """A value in which a function of the field's name has changed texts; itself if none changed."""
    if isinstance(value, str):
        return change(name, value) if type(value) is str else value
    if type(value) is tuple:
        items = [_changed(item, change, name) for item in value]
        same = all(new is old for new, old in zip(items, value, strict=True))
        return value if same else tuple(items)
    if not is_dataclass(value) or isinstance(value, type):
        return value
    made = {}
    for each in fields(value):
        old = getattr(value, each.name)
        new = _changed(old, change, each.name)
        if new is not old:
            made[each.name] = new
    return replace(value, **made) if made else value
