"""The bench check: what a drafter looks at before a pattern leaves the table."""

from __future__ import annotations

from tiler.drafting.checks.fault import Fault, Spot
from tiler.drafting.checks.table import CHECKS, Inspection, check, inspect

__all__ = ["CHECKS", "Fault", "Inspection", "Spot", "check", "inspect"]
