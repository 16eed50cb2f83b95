"""The pattern files that changes are tried on, and some with all that TOML allows."""

from __future__ import annotations

from pathlib import Path

from tiler.output.editing.document import Document
from tiler.sheets.words import shipped

DEMOS = sorted(path.parent.name for path in shipped("demo_pieces").glob("*/pattern.toml"))

#: Spelled as people do who know TOML: dotted keys, tables below tables, remarks everywhere.
ODD = """\
# The file of a sewist with habits.
title = 'Potting belt'   # not the apron
allowance="1.5 cm"

cloth.main = "Canvas"
cloth . lining = "Lawn"

[[piece]]                # the only one with a pocket
name = "Belt"
drawing = "belt.svg"
hem = [
    "A",                 # turned twice
    # the end that shows
    { edge = ["B", "D"], allowance = "20 mm" }
]
notes = ["one",
  "two", "three"]        # read aloud
cut.count = 2
cut.lay = "pair"

  [piece.names]
  a = "top"              # small letters are letters too
  # B has no name
  C = "lower"

  [[piece.notches]]
  edge = "A"
  at = "10 mm"           # measured twice
  [[piece.notches]]
  edge = "C"
  at = '40 %'

[[piece]]
"name" = "Loop"
drawing = "loop.svg"
allowances = {A = "5 mm",C = "6 mm"}
notches = { edge = "A", at = "1 cm" }

# About seams.
[[seam]]
join = ["Belt.A", "Loop.C"]
ease = [ "1 mm", "2 mm" ]
# the end"""


def demo(name: str) -> Document:
    """A demo's pattern file."""
    return Document.of(content(name))


def content(name: str) -> bytes:
    """Its bytes."""
    return (Path(shipped("demo_pieces")) / name / "pattern.toml").read_bytes()
