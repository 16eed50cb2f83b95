import sys
from pathlib import Path

import pytest

# The builder is a plain module beside the tests, and these are no package.
sys.path.insert(0, str(Path(__file__).parent))

from publication_builder import Draft, draft


@pytest.fixture
def paper() -> Draft:
    return draft()
