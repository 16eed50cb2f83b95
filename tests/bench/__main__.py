"""``python -m tests.bench``: prints what drafting and publishing cost, as ratios of one run."""

from tests.bench import drafting, publishing

publishing.report()
drafting.report()
