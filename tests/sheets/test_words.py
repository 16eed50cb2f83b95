"""The texts on the sheets are complete in every language and fill in what they promise."""

from __future__ import annotations

import re
import string
import tomllib
from pathlib import Path

import pytest

import tiler
from tiler.sheets.words import say, shipped

LANGUAGES = sorted(path for path in shipped("templates").iterdir() if path.is_dir())


def texts_of(language: Path) -> dict[str, str]:
    """All texts of a language; no two of its files have a name in common."""
    texts: dict[str, str] = {}
    for file in sorted(language.glob("*.toml")):
        found = tomllib.loads(file.read_text("utf-8"))
        assert not texts.keys() & found.keys(), file
        texts |= found
    return texts


ENGLISH = texts_of(shipped("templates") / "en")
#: The sheets speak English alone; what goes with them speaks every language.
IN_EVERY_LANGUAGE = ("bundle.toml", "cautions.toml", "cloth.toml")


def blanks(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


@pytest.mark.parametrize("language", LANGUAGES, ids=lambda folder: folder.name)
def test_every_language_has_the_same_texts_with_the_same_blanks(language: Path) -> None:
    """A translation that leaves out a text or a blank would fail on paper; file by file."""
    assert {*IN_EVERY_LANGUAGE} <= {file.name for file in language.glob("*.toml")}
    texts_of(language)
    for file in language.glob("*.toml"):
        texts = tomllib.loads(file.read_text("utf-8"))
        english = shipped("templates") / "en" / file.name
        assert {key: blanks(str(text)) for key, text in texts.items()} == {
            key: blanks(str(text))
            for key, text in tomllib.loads(english.read_text("utf-8")).items()
        }


def test_no_text_is_left_over_and_none_is_missing() -> None:
    """Each text is asked for somewhere in the code, and each that is asked for exists."""
    files = [file.read_text("utf-8") for file in Path(tiler.__file__).parent.rglob("*.py")]
    speaking = [text for text in files if re.search(r"sheets\.words import .*\bsay\b", text)]
    code = "\n".join(files)
    quoted = set(re.findall(r'"([a-z0-9_]+)"', code))
    # Some names are put together from a beginning and the kind of thing.
    begun = tuple(set(re.findall(r'f"([a-z0-9_]+_)\{', code)))
    unused = {name for name in set(ENGLISH) - quoted if not (begun and name.startswith(begun))}
    assert sorted(unused) == []
    asked = set(re.findall(r'say\(\s*"([a-z0-9_]+)"', "\n".join(speaking)))
    assert sorted(asked - set(ENGLISH)) == []


def test_blanks_are_filled_in() -> None:
    """A text says what it is given, braces in it included."""
    assert say("bar", mm="180", inch="7.087") == "check bar 180 mm = 7.087 in"
    assert "{odd}" in say("start_made", maker="{odd}")


def test_a_text_that_does_not_exist_is_a_fault_of_the_code() -> None:
    """Nothing is printed in its place."""
    with pytest.raises(KeyError):
        say("no such text")
