"""Steps on the way from files to a drafted pattern, whose results may be kept for the next time."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import ParamSpec, Protocol, TypeVar

Inputs = ParamSpec("Inputs")
Result = TypeVar("Result")


class Recall(Protocol):
    """Does a step, or knows what came of it when it was last done with equal inputs.

    A step's result depends on its inputs alone, and neither is ever changed.
    """

    def __call__(
        self,
        about: Hashable,
        step: Callable[Inputs, Result],
        *inputs: Inputs.args,
        **named: Inputs.kwargs,
    ) -> Result:
        """The result of a step.

        Args:
            about: What the step is done for, such as the name of a piece: inputs are compared
                with those that it had for the same.
            step: A function.
            inputs: What it is given.
            named: What it is given by name.
        """


def afresh(
    about: Hashable, step: Callable[Inputs, Result], *inputs: Inputs.args, **named: Inputs.kwargs
) -> Result:
    """Do a step; nothing is kept."""
    return step(*inputs, **named)
