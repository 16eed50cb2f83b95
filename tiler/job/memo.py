"""What came of the steps of reading, kept while it is of use."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass
from typing import Any, ParamSpec, TypeVar, cast

Inputs = ParamSpec("Inputs")
Result = TypeVar("Result")

#: A result is dropped when it was of no use in so many rounds: some steps of undoing and redoing
#: still find what they need.
ROUNDS = 6
#: So many results of one step for one thing are kept at most, where a round goes on and on.
RESULTS = 12


@dataclass(slots=True)
class _Kept:
    inputs: tuple[Any, ...]
    named: dict[str, Any]
    result: Any
    used: int


class Memo:
    """A `Recall` that keeps results from one round of work to the next. Not for several threads.

    Inputs are told apart by `==`, and never by their hash: most of them are large values of which
    the parts are the very ones of last time, which is found at once.
    """

    def __init__(self) -> None:
        self._rows: dict[tuple[Hashable, Hashable], list[_Kept]] = {}
        self._round = 0

    def next_round(self) -> None:
        """End a round, and drop what the last few have not asked for."""
        self._round += 1
        oldest = self._round - ROUNDS
        rows = {
            key: [each for each in row if each.used >= oldest] for key, row in self._rows.items()
        }
        self._rows = {key: row for key, row in rows.items() if row}

    def __call__(
        self,
        about: Hashable,
        step: Callable[Inputs, Result],
        *inputs: Inputs.args,
        **named: Inputs.kwargs,
    ) -> Result:
        """The result of a step, done only where its inputs are new; see `Recall`."""
        row = self._rows.setdefault((step, about), [])
        for kept in row:
            if kept.inputs == inputs and kept.named == named:
                kept.used = self._round
                return cast(Result, kept.result)
        result = step(*inputs, **named)
        row.append(_Kept(inputs, named, result, self._round))
        del row[:-RESULTS]
        return result

    def __len__(self) -> int:
        return sum(map(len, self._rows.values()))
