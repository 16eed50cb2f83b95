"""What had to be left out, gathered so that each kind of thing is told once."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from tiler.pattern.model import Finding, Severity

#: Kinds with the same code that are told one by one; the others are told as one.
_MOST_DETAILS = 20
_OTHERS = "\0others"


@dataclass(slots=True)
class _Kind:
    severity: Severity
    where: str
    text: str
    count: int = 0


class Notices:
    """Counts the things of each kind and remembers where the first one is."""

    def __init__(self) -> None:
        self._kinds: dict[tuple[str, str], _Kind] = {}
        self._details: Counter[str] = Counter()

    def warn(self, code: str, where: str, text: str, *, detail: str = "") -> None:
        """Something was left out or is not certain.

        Args:
            code: A short fixed name of the kind.
            where: The element.
            text: Full sentences; ``{count}`` stands for how many there are.
            detail: What tells apart two kinds with the same code.
        """
        self._add(Severity.WARNING, code, where, text, detail)

    def note(self, code: str, where: str, text: str, *, detail: str = "") -> None:
        """Something that is good to know; arguments as for `warn`."""
        self._add(Severity.NOTE, code, where, text, detail)

    def _add(self, severity: Severity, code: str, where: str, text: str, detail: str) -> None:
        key = (code, detail)
        if key not in self._kinds:
            if self._details[code] >= _MOST_DETAILS:
                key = (code, _OTHERS)
            self._details[code] += 1
            self._kinds.setdefault(key, _Kind(severity, where, text))
        self._kinds[key].count += 1

    def findings(self, name: str) -> tuple[Finding, ...]:
        """One finding for each kind, in the order in which they came up.

        Args:
            name: The file's name, put before each place.
        """
        return tuple(
            Finding(
                code,
                kind.severity,
                f"{name}, {kind.where}",
                kind.text.replace("{count}", str(kind.count)),
            )
            for (code, _), kind in self._kinds.items()
        )
