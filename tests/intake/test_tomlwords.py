"""Names in advice that the reader can copy into the pattern file; the judge is tomllib."""

import tomllib

import pytest

from tiler.intake.tomlwords import toml_key, toml_string

NAMES = [
    "v1.2",
    "Σ/x",
    "a b",
    'say "hi"',
    "back\\slash",
    "tab\there",
    "\u200b",
    "\U000e0001",
    "",
    "é",
]


@pytest.mark.parametrize("name", [*NAMES, "narrow", "1", "style-2_b"])
def test_what_is_written_reads_as_what_was_meant(name: str) -> None:
    assert tomllib.loads(f"{toml_key(name)} = 1") == {name: 1}
    assert tomllib.loads(f"x = {toml_string(name)}") == {"x": name}


@pytest.mark.parametrize("name", ["narrow", "1", "style-2_b"])
def test_a_bare_key_stays_bare(name: str) -> None:
    assert toml_key(name) == name
