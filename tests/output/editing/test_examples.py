"""A file that was begun asks what is open behind a #; the answer comes in that place."""

from __future__ import annotations

import tomllib

from tests.output.editing.test_changes import changed_lines
from tiler.output.editing.changes import (
    AddSeam,
    Change,
    ClothSays,
    EdgeNamed,
    FinishedMeasure,
    PatternSays,
    PieceCuts,
    SeamWords,
)
from tiler.output.editing.document import Document
from tiler.output.editing.pieces import CutWords

BEGUN = """\
# A line with # right before a word is an example.

# What it is called.
title = "Belt"

# Seam allowance; "0 mm" means that there is none.
#allowance = "15 mm"
# allowance = "12 mm" was too narrow
#licence = [
#    "Sew it.",
#]

# A short name for each cloth, such as
# main = "Cotton lawn".
[cloth]
#main = "Firm cotton twill"

# ---- Belt ----
[[piece]]
name = "Belt"
drawing = "belt.svg"

#cut = { count = 1, cloth = "main", lay = "fold" }

#names = { A = "", B = "" }

# ---- Seams ----

# Which edges are sewn together.
#[[seam]]
#name = "side seam"
#join = ["Belt.A", "Belt.B"]
#ease = "0 mm"
"""

ANSWERS: list[tuple[Change, list[str], list[str]]] = [
    (PatternSays("allowance", "5/8 in"), ['#allowance = "15 mm"'], ['allowance = "5/8 in"']),
    (ClothSays("main", "Twill"), ['#main = "Firm cotton twill"'], ['main = "Twill"']),
    (ClothSays("lining", "Lawn"), [], ['lining = "Lawn"']),
    (
        PieceCuts("Belt", (CutWords(1, "copies"),)),
        ['#cut = { count = 1, cloth = "main", lay = "fold" }'],
        ['cut = { count = 1, lay = "copies" }'],
    ),
    (EdgeNamed("Belt", "B", "end"), ['#names = { A = "", B = "" }'], ['names = { B = "end" }']),
    (
        AddSeam(SeamWords(("Belt.A",), ("Belt.C",))),
        ["#[[seam]]", '#name = "side seam"', '#join = ["Belt.A", "Belt.B"]', '#ease = "0 mm"'],
        ["[[seam]]", 'join = ["Belt.A", "Belt.C"]'],
    ),
    (
        FinishedMeasure("length", "1 m"),
        [],
        ["", "[finished]", 'length = "1 m"'],
    ),
]


def test_an_answer_stands_where_its_example_waited() -> None:
    """And what is only a remark stays, also when it looks like an answer."""
    for change, went, came in ANSWERS:
        after = change.done(Document(BEGUN))
        assert changed_lines(BEGUN, after.text) == (sorted(went), sorted(came)), change
        assert tomllib.loads(after.text)


def test_an_example_of_several_lines_gives_way_whole() -> None:
    """A list that is broken over lines."""
    from tiler.output.editing.changes import PatternLists

    after = PatternLists("licence", ("Do as you like.",)).done(Document(BEGUN))
    went, came = changed_lines(BEGUN, after.text)
    assert (went, came) == (
        ['#    "Sew it.",', "#]", "#licence = ["],
        ['licence = ["Do as you like."]'],
    )


def test_a_new_table_of_the_file_does_not_take_over_waiting_examples() -> None:
    """[finished] comes behind the examples of [cloth], and before the heading of the pieces."""
    text = FinishedMeasure("length", "1 m").done(Document(BEGUN)).text
    assert text.index("#main") < text.index("[finished]") < text.index("# ---- Belt")
