"""``python -m tests.bench``: prints what publishing costs, as ratios measured in one run."""

from tests.bench.publishing import report

report()
