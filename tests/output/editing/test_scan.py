"""Every value is found where it stands. Outside check: Python's tomllib reads what is cut out."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

import pytest

from tests.output.editing.demos import DEMOS, ODD, content
from tiler.output.editing.document import Document
from tiler.output.editing.nodes import Path

#: Forms that the specification of TOML 1.0 shows, section by section.
FORMS = r"""
str1 = "I'm a string. \"You can quote me\"."
str2 = '''I [dw]on't need \d{2} apples, # no remark'''
str3 = '''
Here are two: ''
'''
str4 = "tab \t, # and ] and } are letters here"
"quoted key" = 1
'quoted "too"' = 2
3.14159 = "pi"
nested.mixed . "with points. in it" = [ [1, 2], ["a", 'b',], {x = 1, y.z = [3]} ]
when = 1979-05-27 07:32:00Z
empty = []
hosts = [
  "alpha", # one
  # none
  "omega"
]
[a . b]
c = { }
[[list]]
n = 1
[list.below]
m = 2
[[list]]
[[list.inner]]
k = 3
[[list.inner]]
k = 4
"""


def values(value: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    """Everything that a file says, from the outside in."""
    if path:
        yield path, value
    if isinstance(value, dict):
        for key, each in value.items():
            yield from values(each, (*path, key))
    if isinstance(value, list):
        for number, each in enumerate(value):
            yield from values(each, (*path, number))


TEXTS = [*(content(name).decode() for name in DEMOS), ODD, FORMS, FORMS.replace("\n", "\r\n")]


@pytest.mark.parametrize("text", TEXTS)
def test_what_is_cut_out_reads_as_what_stands_there(text: str) -> None:
    """Tables under headers have no one place; all else has."""
    doc = Document(text)
    found = 0
    for path, value in values(tomllib.loads(text)):
        spot = doc.spot(path)
        if spot is None:
            assert isinstance(value, dict | list), path
            continue
        found += 1
        cut = text[spot.node.start : spot.node.end]
        assert tomllib.loads(f"key = {cut}")["key"] == value, path
    assert found > 15


def test_sections_tile_the_file() -> None:
    """No letter is lost between them."""
    doc = Document(ODD)
    ends = [0, *(section.end for section in doc.sections)]
    assert [section.start for section in doc.sections] == ends[:-1]
    assert ends[-1] == len(ODD)
    assert doc.sections[3].path == ("piece", 0, "notches", 0)
