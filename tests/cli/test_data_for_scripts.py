"""Whoever asks for JSON gets JSON, also when the pattern cannot be read."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.owncommand import blocksheet


@pytest.mark.parametrize("command", ["look", "check"])
@pytest.mark.parametrize(
    ("text", "where"),
    [('title = "T"\nallowance = 15\n', "pattern.toml line 2"), (None, "nothing here")],
)
def test_an_error_is_data_too(command: str, text: str | None, where: str, tmp_path: Path) -> None:
    place = tmp_path / "nothing here"
    if text is not None:
        place = tmp_path / "pattern.toml"
        place.write_text(text)
    done = blocksheet(command, place, "--json")
    assert done.returncode == 2
    error = json.loads(done.stdout)["error"]
    assert where in error["where"]
    assert error["problem"]
    assert error["remedy"]
    assert done.stderr.startswith("blocksheet: ")
    assert len(done.stderr.splitlines()) == 1
