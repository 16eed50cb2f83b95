"""Random inputs are the same on every run, so that the gate says the same of the same code.

``EXPLORE=1`` draws new ones: run it for a while after a change to the geometry, and write what it
finds as a test of its own. It draws five times as many, too.
"""

import gc
import os

import pytest
from hypothesis import settings

settings.register_profile("gate", derandomize=True, deadline=None, max_examples=40)
settings.register_profile("explore", deadline=None, max_examples=200)
settings.load_profile("explore" if os.environ.get("EXPLORE") else "gate")


@pytest.hookimpl(trylast=True)
def pytest_collection_finish() -> None:
    """What was collected stays: it is not looked through for litter again and again."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 20)
