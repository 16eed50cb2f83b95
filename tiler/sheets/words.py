"""The texts on the sheets, read from the templates of one language."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path


def shipped(folder: str) -> Path:
    """A folder that ships with the tool, in the installed package or beside it in a checkout."""
    package = Path(__file__).parents[1]
    inside = package / folder
    return inside if inside.is_dir() else package.parent / folder


@cache
def _texts(language: str) -> dict[str, str]:
    """All texts of a language; its files share one set of names, and none has a name twice."""
    texts: dict[str, str] = {}
    for file in sorted((shipped("templates") / language).glob("*.toml")):
        for key, value in tomllib.loads(file.read_text("utf-8")).items():
            if key in texts:
                raise AssertionError(f"{file.name} has {key!r}, which another file has too")
            texts[key] = str(value)
    return texts


@cache
def languages_with(file: str) -> tuple[str, ...]:
    """Tags of the languages that have a file of texts, such as ``cloth.toml``."""
    return tuple(sorted(path.parent.name for path in shipped("templates").glob(f"*/{file}")))


def say(key: str, language: str = "en", **facts: object) -> str:
    """A text of the sheets with its blanks filled in."""
    return _texts(language)[key].format(**facts)
