"""Styles nested on one body: a ring for each, and what they share drawn once."""

from __future__ import annotations

from tiler.drafting.styles.chosen import only_styles
from tiler.drafting.styles.runs import with_shared_runs
from tiler.drafting.styles.wished import with_styles

__all__ = ["only_styles", "with_shared_runs", "with_styles"]
