"""How long work tells how far it is."""

from __future__ import annotations

from collections.abc import Callable

#: Called with the name of a stage, the steps done and their total.
Progress = Callable[[str, int, int], None]


def steps_of(progress: Progress | None, stage: str) -> Callable[[int, int], None] | None:
    """What tells the steps of one stage; None where nobody listens."""
    return (lambda done, total: progress(stage, done, total)) if progress else None
