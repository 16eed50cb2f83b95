"""What the command says and writes does not hang on how long it has searched."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.laying import soon_laid


@pytest.fixture(autouse=True)
def _soon_laid() -> Iterator[None]:
    with soon_laid():
        yield
