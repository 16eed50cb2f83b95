"""Random inputs are the same on every run, so that the gate says the same of the same code.

``EXPLORE=1`` draws new ones: run it for a while after a change to the geometry, and write what it
finds as a test of its own. Some tests then draw more, too (`tests/drawing.py`).
"""

import os

from hypothesis import settings

settings.register_profile("gate", derandomize=True, deadline=None)
settings.register_profile("explore", deadline=None)
settings.load_profile("explore" if os.environ.get("EXPLORE") else "gate")
