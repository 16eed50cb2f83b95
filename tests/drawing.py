"""How many random inputs a test draws."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings


def draws(count: int) -> settings:
    """So many in the gate, whose inputs are the same on every run, and five times as many beyond.

    For tests whose inputs take long to make; see ``conftest.py`` for ``EXPLORE``.
    """
    return settings(
        max_examples=count * (5 if os.environ.get("EXPLORE") else 1),
        deadline=None,
        suppress_health_check=[HealthCheck.too_slow],
        database=None,
    )
