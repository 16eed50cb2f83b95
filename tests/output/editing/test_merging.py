"""A change for an older version is done to the newer one, or refused with both values."""

from __future__ import annotations

import pytest

from tests.output.editing.demos import demo
from tiler.output.editing.changes import (
    AddEntry,
    Change,
    ChangeEntry,
    ChangeSeam,
    ClothSays,
    EdgeAllowance,
    EdgeFinish,
    EdgeLies,
    EdgeNamed,
    NotchWords,
    PatternSays,
    PieceNamed,
    PieceNotes,
    PieceSays,
    RemoveEntry,
    RemoveSeam,
    SeamWords,
    Several,
)
from tiler.output.editing.merging import ConflictError, merged
from tiler.pattern.model import Lies

BASE = demo("smock")
NOTCH = NotchWords("D", "90 mm", "end")

#: What somebody else did, and what is then still possible.
APART: list[tuple[Change, Change]] = [
    (EdgeAllowance("Front", "B", "8 mm"), EdgeAllowance("Front", "C", "9 mm")),
    (EdgeAllowance("Front", "B", "8 mm"), EdgeAllowance("Back", "B", "9 mm")),
    (RemoveEntry("Front", "notches", 0), ChangeEntry("Front", 1, NOTCH)),
    (AddEntry("Front", NotchWords("B", "5 %")), RemoveEntry("Front", "notches", 2)),
    (RemoveSeam(0), ChangeSeam(2, SeamWords(("Back.D", "Front.D"), ("Sleeve.B",), "sleeve head"))),
    (PatternSays("title", "Smock"), ClothSays("main", "Denim")),
    (EdgeNamed("Front", "B", "neckline"), EdgeLies("Front", "B", Lies.RAW)),
    (PieceNamed("Sleeve", "Arm"), EdgeAllowance("Front", "B", "8 mm")),
    (
        Several("Front", (EdgeNamed("Front", "C", "x"), RemoveEntry("Front", "notches", 2))),
        ChangeEntry("Front", 0, NotchWords("B", "40 %")),
    ),
]

#: What somebody else did, what is then refused, and the place with both values.
TOGETHER: list[tuple[Change, Change, str, str, str]] = [
    (
        EdgeAllowance("Front", "B", "8 mm"),
        EdgeAllowance("Front", "B", "5/8 in"),
        *("Front, edge B", "8 mm", "5/8 in"),
    ),
    (
        EdgeAllowance("Front", "F", "25 mm"),
        EdgeLies("Front", "F", Lies.RAW),
        *("Front, edge F", "hem, 25 mm", "raw"),
    ),
    (
        EdgeFinish("Front", "C", None),
        EdgeFinish("Front", "C", "mitre"),
        *("Front, edge C", "", "mitre"),
    ),
    (
        ChangeEntry("Front", 1, NotchWords("D", "80 mm", "end")),
        ChangeEntry("Front", 1, NOTCH),
        "Front, notches",
        '{ edge = "D", at = "80 mm", from = "end" }',
        '{ edge = "D", at = "90 mm", from = "end" }',
    ),
    (
        RemoveEntry("Front", "notches", 1),
        ChangeEntry("Front", 1, NOTCH),
        *("Front, notches", "", '{ edge = "D", at = "90 mm", from = "end" }'),
    ),
    (PatternSays("title", "A"), PatternSays("title", "B"), "title", "A", "B"),
    (PieceSays("Seed pocket", "side", None), PieceSays("Seed pocket", "side", "right"),
     "Seed pocket, side", "", "right"),
    (PieceNotes("Sleeve", ("x",)), PieceNotes("Sleeve", ("y",)), "Sleeve, notes", '["x"]', '["y"]'),
    (ClothSays("main", "Denim"), ClothSays("main", "Linen"), "cloth, main", "Denim", "Linen"),
]  # fmt: skip


@pytest.mark.parametrize(("theirs", "mine"), APART, ids=str)
def test_what_is_apart_is_merged(theirs: Change, mine: Change) -> None:
    """Whoever comes second, both changes are in the file."""
    one = merged(mine, BASE, theirs.done(BASE))
    other = merged(theirs, BASE, mine.done(BASE))
    assert one.data == other.data
    assert one.data != mine.done(BASE).data


@pytest.mark.parametrize(("theirs", "mine", "place", "now", "wanted"), TOGETHER, ids=str)
def test_what_meets_is_refused_with_both_values(
    theirs: Change, mine: Change, place: str, now: str, wanted: str
) -> None:
    """As they are spelled in the file."""
    with pytest.raises(ConflictError) as caught:
        merged(mine, BASE, theirs.done(BASE))
    assert (caught.value.place, caught.value.theirs, caught.value.mine) == (place, now, wanted)


def test_what_stands_there_already_is_no_conflict() -> None:
    """Two people who want the same get it once."""
    for change in (EdgeAllowance("Front", "B", "8 mm"), AddEntry("Front", NOTCH), RemoveSeam(1)):
        now = change.done(BASE)
        assert merged(change, BASE, now).text == now.text


def test_a_piece_that_is_gone_is_a_conflict() -> None:
    """It was renamed in between."""
    now = PieceNamed("Sleeve", "Arm").done(BASE)
    for change in (EdgeAllowance("Sleeve", "B", "8 mm"), RemoveEntry("Sleeve", "notches", 0)):
        with pytest.raises(ConflictError):
            merged(change, BASE, now)
