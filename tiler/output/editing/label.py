"""What a change did, in a few words."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.sheets.words import say

#: A text of the maker's own is cut off behind so many letters.
_LONGEST = 40


@dataclass(frozen=True, slots=True)
class Label:
    """A short name of a change: ``Front, edge B: 12 mm``.

    Args:
        key: Which sentence (without ``did_``) of `editing.toml` in the templates.
        facts: What fills its blanks.
    """

    key: str
    facts: tuple[tuple[str, str], ...] = ()

    @classmethod
    def of(cls, key: str, **facts: object) -> Label:
        """A label with its blanks filled; what was taken away is shown as a dash."""
        return cls(key, tuple((name, _short(value)) for name, value in facts.items()))

    def text(self, language: str = "en") -> str:
        """The label in a language."""
        return say(f"did_{self.key}", language, **dict(self.facts))

    def __str__(self) -> str:
        return self.text()


def _short(value: object) -> str:
    words = " ".join(str(value).split()) if value not in (None, "", ()) else "–"
    return words if len(words) <= _LONGEST else f"{words[: _LONGEST - 1].rstrip()}…"
