"""A studio over a folder of one's own, with and without a browser."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from tests.web.door import Studio, client_of
from tiler.web.state import State

DEMOS = Path(__file__).parents[2] / "demo_pieces"


@pytest.fixture
def library(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty library; what the user keeps elsewhere (printers, mats) is empty, too."""
    monkeypatch.setenv("BLOCKSHEET_HOME", str(tmp_path / "home"))
    folder = tmp_path / "library"
    folder.mkdir()
    return folder


@pytest.fixture
def smock(library: Path) -> Path:
    """The smock, in the library under its own name."""
    return Path(shutil.copytree(DEMOS / "smock", library / "smock"))


@pytest.fixture
def hat(library: Path) -> Path:
    """The hat, which is small."""
    return Path(shutil.copytree(DEMOS / "hat", library / "hat"))


@pytest.fixture
def state(library: Path) -> Iterator[State]:
    """What a run of the studio over the library holds; its work ends with the test."""
    state = State(library)
    yield state
    state.works.end()


@pytest.fixture
def studio(state: State) -> TestClient:
    """Asks as a page of the studio would; nothing listens on the network."""
    return client_of(state)


@pytest.fixture
def served(library: Path) -> Iterator[Studio]:
    """The command itself, running over the library and listening on this computer."""
    with Studio(library) as running:
        yield running
