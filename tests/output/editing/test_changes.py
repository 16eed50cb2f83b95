"""Each change alters the lines that it is about, and no others.

Outside checks: tomllib and tomlkit read the changed files alike, and as an edit of the plain data
says; the changed lines are written out here by hand.
"""

from __future__ import annotations

import difflib
import tomllib

import pytest
import tomlkit

from tests.output.editing.demos import DEMOS, ODD, demo
from tiler.intake.patternfile import parse_pattern_file
from tiler.output.editing.changes import (
    AddEntry,
    AddSeam,
    Change,
    ChangeEntry,
    ChangeSeam,
    ClothFact,
    ClothSays,
    ClothStretches,
    CutWords,
    DartWords,
    EdgeAllowance,
    EdgeFinish,
    EdgeLies,
    EdgeNamed,
    FinishedMeasure,
    FisheyeWords,
    Group,
    MarkWords,
    NotchWords,
    PatternLists,
    PatternSays,
    PieceCuts,
    PieceGrain,
    PieceNamed,
    PieceNotes,
    PieceSays,
    RemoveEntry,
    RemoveSeam,
    SeamWords,
    StyleEdges,
    StyleSays,
)
from tiler.output.editing.document import Document
from tiler.pattern.model import Lies

SLEEVE_HEAD = ("Back.D", "Front.D"), ("Sleeve.B",), "sleeve head"
FISHEYE = FisheyeWords("A", "363 mm", "130 mm", "22 mm", ("140 mm", "120 mm"))
CHECKED = DartWords(
    *("D", "90 mm", "80 mm", "C"),
    **{"flat": "12.5 mm", "sewn": "9.5 mm", "repeats": 10, "gives": "E", "blend": "15 cm"},
)
CHECKED_LINE = (
    '    { edge = "D", at = "90 mm", length = "80 mm", cloth = { flat = "12.5 mm", '
    'sewn = "9.5 mm", repeats = 10 }, pressed = "C", gives = "E", blend = "15 cm" },'
)
INTERFACING = '    { count = 1, cloth = "interfacing", lay = "fold" },'

#: A change of the smock, the lines that go, and the lines that come.
LINES: list[tuple[Change, list[str], list[str]]] = [
    (
        EdgeAllowance("Front", "B", "5/8 in"),
        ['allowances = { B = "10 mm" }'],
        ['allowances = { B = "5/8 in" }'],
    ),
    (
        EdgeAllowance("Front", "A", "12 mm"),
        ['allowances = { B = "10 mm" }'],
        ['allowances = { A = "12 mm", B = "10 mm" }'],
    ),
    (EdgeAllowance("Front", "B", None), ['allowances = { B = "10 mm" }'], []),
    (
        EdgeAllowance("Front", "F", "40 mm"),
        ['hem = { edge = "F", allowance = "30 mm" }'],
        ['hem = { edge = "F", allowance = "40 mm" }'],
    ),
    (
        EdgeAllowance("Sleeve", "D", "3 cm"),
        ['allowances = { D = "40 mm" }'],
        ['allowances = { D = "3 cm" }'],
    ),
    (
        EdgeLies("Front", "F", Lies.SEWN),
        ['hem = { edge = "F", allowance = "30 mm" }'],
        [],
    ),
    (
        EdgeLies("Sleeve", "D", Lies.RAW),
        ['hem = "D"', 'allowances = { D = "40 mm" }'],
        ['raw = "D"'],
    ),
    (
        EdgeLies("Front", "E", Lies.HEM, "20 mm", "mitre"),
        ['hem = { edge = "F", allowance = "30 mm" }'],
        [
            'hem = [{ edge = "F", allowance = "30 mm" }, '
            '{ edge = "E", allowance = "20 mm", finish = "mitre" }]'
        ],
    ),
    (EdgeLies("Back", "A", Lies.SEWN), ['fold = "A"'], []),
    (
        EdgeFinish("Patch pocket", "A", None),
        ['hem = { edge = "A", allowance = "30 mm", finish = "reflected" }'],
        ['hem = { edge = "A", allowance = "30 mm" }'],
    ),
    (
        EdgeFinish("Front", "D", "square"),
        ['finish = { C = "square" }'],
        ['finish = { C = "square", D = "square" }'],
    ),
    (
        EdgeNamed("Patch pocket", "A", 'the "top"'),
        ['names = { A = "top hem", B = "sides and bottom" }'],
        ['names = { A = "the \\"top\\"", B = "sides and bottom" }'],
    ),
    (
        StyleEdges("Sleeve", "short", ("B", "D")),
        ['styles = { long = "D", jacket = "D", short = "D" }'],
        ['styles = { long = "D", jacket = "D", short = ["B", "D"] }'],
    ),
    (AddEntry("Front", NotchWords("C", "50 %")), [], ['    { edge = "C", at = "50 %" },']),
    (
        ChangeEntry("Front", 1, NotchWords("D", "90 mm", "end", count=2)),
        ['    { edge = "D", at = "85 mm", from = "end" },'],
        ['    { edge = "D", at = "90 mm", from = "end", count = 2 },'],
    ),
    (RemoveEntry("Front", "notches", 0), ['    { edge = "B", at = "50 %" },'], []),
    (
        AddEntry("Back neck facing", NotchWords("B", meets="Back neck facing.D", shape="wedge")),
        ['notches = [{ edge = "B", meets = "Back.B" }]'],
        [
            "notches = [",
            '    { edge = "B", meets = "Back.B" },',
            '    { edge = "B", meets = "Back neck facing.D", shape = "wedge" },',
            "]",
        ],
    ),
    (AddEntry("Front", CHECKED), [], ["darts = [", CHECKED_LINE, "]"]),
    (
        ChangeEntry("Back", 0, FISHEYE),
        [
            '    { beside = "A", at = "363 mm", inside = "130 mm", intake = "20 mm", '
            'lengths = ["140 mm", "120 mm"] },'
        ],
        [
            '    { beside = "A", at = "363 mm", inside = "130 mm", intake = "22 mm", '
            'lengths = ["140 mm", "120 mm"] },'
        ],
    ),
    (
        ChangeEntry("Seed pocket", 0, MarkWords("button", "B", "50 %", "9 mm", count=1)),
        [
            'marks = [{ kind = "buttonhole", edge = "B", at = "50 %", inside = "9 mm", '
            'size = "13 mm" }]'
        ],
        ['marks = [{ kind = "button", edge = "B", at = "50 %", inside = "9 mm", count = 1 }]'],
    ),
    (PieceSays("Sleeve", "allowance", "12 mm"), [], ['allowance = "12 mm"']),
    (PieceSays("Seed pocket", "side", None), ['side = "left"'], []),
    (
        PieceCuts("Front", (CutWords(1, "fold", "main"), CutWords(1, "fold", "interfacing"))),
        ['cut = { count = 1, cloth = "main", lay = "fold" }'],
        ["cut = [", '    { count = 1, cloth = "main", lay = "fold" },', INTERFACING, "]"],
    ),
    (
        PieceGrain("Back", "A", "45 deg"),
        ['grain = "fold"'],
        ['grain = { along = "A", turn = "45 deg" }'],
    ),
    (PieceGrain("Back", None), ['grain = "fold"'], []),
    (
        PieceNotes("Back", ("Hem: turn 10 mm, then 20 mm.", "No darts.")),
        [
            '    "The darts are at the waist; leave them out for a smock that hangs straight.",',
        ],
        ['    "No darts.",'],
    ),
    (
        PieceNamed("Sleeve", "Arm"),
        [
            'name = "Sleeve"',
            '    { edge = "A", meets = "Sleeve.C" },',
            'join = [["Back.D", "Front.D"], "Sleeve.B"]',
            'join = ["Sleeve.C", "Sleeve.A"]',
        ],
        [
            'name = "Arm"',
            '    { edge = "A", meets = "Arm.C" },',
            'join = [["Back.D", "Front.D"], "Arm.B"]',
            'join = ["Arm.C", "Arm.A"]',
        ],
    ),
    (PatternSays("allowance", "5/8 in"), ['allowance = "15 mm"'], ['allowance = "5/8 in"']),
    (PatternSays("cords", True), [], ["cords = true"]),
    (
        PatternLists(
            "notions", ("Sewing thread", "Tape", "One flat button of 10 mm for the seed pocket")
        ),
        [],
        ['    "Tape",'],
    ),
    (ClothSays("lining", "Lawn"), [], ['lining = "Lawn"']),
    (ClothStretches("main", "2 %"), ['main = "0 %"'], ['main = "2 %"']),
    (
        ClothFact("main", "shrinkage", ("5 %", "3 %")),
        ['shrinkage = ["5 %", "2 %"]'],
        ['shrinkage = ["5 %", "3 %"]'],
    ),
    (
        StyleSays("long", "to the wrist"),
        ['long = "long sleeve, hem below the hip"'],
        ['long = "to the wrist"'],
    ),
    (
        FinishedMeasure("chest girth", "121 cm"),
        ['"chest girth" = "1200 mm"'],
        ['"chest girth" = "121 cm"'],
    ),
    (
        AddSeam(SeamWords(("Seed pocket.A",), ("Seed pocket.C",), "edge", ("0 mm",))),
        [],
        [
            "",
            "[[seam]]",
            'name = "edge"',
            'join = ["Seed pocket.A", "Seed pocket.C"]',
            'ease = "0 mm"',
        ],
    ),
    (
        ChangeSeam(2, SeamWords(*SLEEVE_HEAD, ("5 mm", "15 mm"))),
        ['ease = "15 mm"'],
        ['ease = ["5 mm", "15 mm"]'],
    ),
    (RemoveSeam(0), ["[[seam]]", 'name = "shoulder"', 'join = ["Front.C", "Back.C"]', ""], []),
    (
        Group("joined", ("Front neck facing", "Back neck facing"), ()),
        ['joined = [["Front neck facing", "Back neck facing"]]'],
        [],
    ),
    (
        Group("keep_together", (), ("Front", "Front neck facing")),
        [],
        ['keep_together = [["Front", "Front neck facing"]]'],
    ),
]


def changed_lines(before: str, after: str) -> tuple[list[str], list[str]]:
    """The lines that went and those that came, sorted; all others stand in the same order."""
    one, other = before.splitlines(), after.splitlines()
    went, came = list[str](), list[str]()
    for tag, a, b, c, d in difflib.SequenceMatcher(None, one, other, autojunk=False).get_opcodes():
        if tag != "equal":
            went += one[a:b]
            came += other[c:d]
    return sorted(went), sorted(came)


@pytest.mark.parametrize(
    ("change", "went", "came"), LINES, ids=lambda each: str(getattr(each, "label", ""))
)
def test_a_change_alters_its_own_lines(change: Change, went: list[str], came: list[str]) -> None:
    """Written out by hand; the file stays one that other readers of TOML read alike."""
    before = demo("smock")
    after = change.done(before)
    assert changed_lines(before.text, after.text) == (sorted(went), sorted(came))
    assert tomlkit.parse(after.text).unwrap() == tomllib.loads(after.text)
    once = AddEntry | AddSeam | Group | RemoveEntry | RemoveSeam | PieceNamed
    assert isinstance(change, once) or change.done(after).text == after.text


@pytest.mark.parametrize("name", DEMOS)
def test_on_every_demo_all_else_stays(name: str) -> None:
    """Whatever piece it is about, at most its own line goes, and the rest reads as before."""
    before = both = demo(name)
    for number, piece in enumerate(before.data["piece"][:2]):
        about = piece["name"]
        for change, path, wanted in (
            (EdgeAllowance(about, "Q", "9 mm"), ("allowances", "Q"), "9 mm"),
            (EdgeLies(about, "Q", Lies.RAW), ("raw",), None),
            (EdgeNamed(about, "Q", "odd edge"), ("names", "Q"), "odd edge"),
            (EdgeFinish(about, "Q", "mitre"), ("finish", "Q"), "mitre"),
            (StyleEdges(about, "x y", ("Q",)), ("styles", "x y"), "Q"),
            (PieceSays(about, "part", "back"), ("part",), "back"),
            (PieceGrain(about, "Q"), ("grain",), None),
            (PieceNotes(about, ()), ("notes",), None),
            (AddEntry(about, NotchWords("Q", "1 %")), ("notches",), None),
            (AddEntry(about, MarkWords("drill", "Q", "1 %", "1 mm")), ("marks",), None),
        ):
            after = change.done(before)
            rest = {**after.data["piece"][number]}
            expected = {**piece}
            for each in (rest, expected):
                each.pop(path[0], None)
            others = [each for n, each in enumerate(after.data["piece"]) if n != number]
            assert rest == expected
            assert others == [each for n, each in enumerate(before.data["piece"]) if n != number]
            if wanted:
                assert after.value(("piece", number, *path)) == wanted
            went, _ = changed_lines(before.text, after.text)
            assert len(went) <= (1 if path != ("notes",) else 8)
            both = change.done(both)
    assert tomlkit.parse(both.text).unwrap() == tomllib.loads(both.text)


def test_what_was_changed_reads_back_as_meant() -> None:
    """By the reader of pattern files, in millimetres worked out by hand: 5/8 in is 15.875 mm."""
    doc = demo("smock")
    for change in (
        EdgeAllowance("Front", "B", "5/8 in"),
        EdgeLies("Front", "E", Lies.RAW),
        AddEntry("Front", CHECKED),
        AddEntry("Front", NotchWords("C", "25 %", "end")),
        PieceGrain("Front", "A", "45 deg"),
    ):
        doc = change.done(doc)
    front = parse_pattern_file(doc.content).pieces[0]
    edges = {(word.letter, word.lies, word.allowance) for word in front.edges}
    assert {("B", None, 15.875), ("E", Lies.RAW, None), ("F", Lies.HEM, 30.0)} <= edges
    dart = front.wishes.darts[0]
    assert (dart.at.length, dart.length, dart.blend) == (90, 80, 150)  # type: ignore[union-attr]
    assert (front.wishes.notches[-1].at.fraction, front.wishes.grain.turn) == (0.25, 45)  # type: ignore[union-attr]


ODD_LINES: list[tuple[Change, list[str], list[str]]] = [
    (EdgeNamed("Belt", "A", "upper"), ['  a = "top"              # small letters are letters too'],
     ['  a = "upper"              # small letters are letters too']),
    (EdgeNamed("Belt", "A", ""), ['  a = "top"              # small letters are letters too'],
     ["# small letters are letters too"]),
    (EdgeAllowance("Belt", "D", "3 cm"), ['    { edge = ["B", "D"], allowance = "20 mm" }'],
     ['    { edge = "B", allowance = "20 mm" },', '    { edge = "D", allowance = "3 cm" },']),
    (EdgeLies("Belt", "A", Lies.SEWN), ['    "A",                 # turned twice'],
     ["    # turned twice"]),
    (PieceCuts("Belt", (CutWords(4, "pair"),)), ["cut.count = 2"], ["cut.count = 4"]),
    (PieceCuts("Belt", (CutWords(2, "pair", "main"),)), [], ['cut.cloth = "main"']),
    (ClothSays("main", "Denim"), ['cloth.main = "Canvas"'], ['cloth.main = "Denim"']),
    (ClothSays("trim", "Tape"), [], ['cloth.trim = "Tape"']),
    (PatternSays("title", "Belt"), ["title = 'Potting belt'   # not the apron"],
     ["title = 'Belt'   # not the apron"]),
    (PatternSays("allowance", "1 cm"), ['allowance="1.5 cm"'], ['allowance="1 cm"']),
    (RemoveEntry("Belt", "notches", 0), ["  [[piece.notches]]", '  edge = "A"',
     '  at = "10 mm"           # measured twice'], []),
    (AddEntry("Belt", NotchWords("C", "1 cm")), [],
     ["", "[[piece.notches]]", 'edge = "C"', 'at = "1 cm"']),
    (AddEntry("Loop", NotchWords("C", "1 cm")), ['notches = { edge = "A", at = "1 cm" }'],
     ['notches = [{ edge = "A", at = "1 cm" }, { edge = "C", at = "1 cm" }]']),
    (EdgeAllowance("Loop", "B", "7 mm"), ['allowances = {A = "5 mm",C = "6 mm"}'],
     ['allowances = {A = "5 mm",B = "7 mm", C = "6 mm"}']),
    (PieceNotes("Belt", ("one", "three")), ['  "two", "three"]        # read aloud'],
     ['  "three"]        # read aloud']),
    (ChangeSeam(0, SeamWords(("Belt.A",), ("Loop.C",), ease=("1 mm", "3 mm"))),
     ['ease = [ "1 mm", "2 mm" ]'], ['ease = [ "1 mm", "3 mm" ]']),
    (AddSeam(SeamWords(("Belt.C",), ("Loop.A",))), [],
     ["", "[[seam]]", 'join = ["Belt.C", "Loop.A"]']),
    (PatternLists("notions", ("Thread",)), [], ['notions = ["Thread"]']),
]  # fmt: skip


@pytest.mark.parametrize("newline", ["\n", "\r\n"], ids=["LF", "CRLF"])
@pytest.mark.parametrize(
    ("change", "went", "came"), ODD_LINES, ids=lambda each: str(getattr(each, "label", ""))
)
def test_the_form_that_the_maker_chose_is_kept(
    change: Change, went: list[str], came: list[str], newline: str
) -> None:
    """Dotted keys, tables below tables, lists over lines, small letters, both kinds of lines."""
    before = Document.of(("\ufeff" + ODD.replace("\n", newline)).encode())
    after = Document.of(change.done(before).content)
    assert after.marked
    assert after.text.count("\n") == after.text.count(newline)
    assert changed_lines(before.text, after.text) == (sorted(went), sorted(came))
    assert tomlkit.parse(after.text).unwrap() == tomllib.loads(after.text)


def test_remarks_outlive_every_change() -> None:
    """Each remark of the file is still there after each change that does not take its place."""
    before = Document(ODD)
    remarks = ["not the apron", "the end that shows", "read aloud", "B has no name", "About seams.",
               "the end", "the only one with a pocket"]  # fmt: skip
    for change, _, _ in ODD_LINES:
        after = change.done(before)
        assert all(remark in after.text for remark in remarks), change


def test_a_change_of_what_is_not_there_is_refused() -> None:
    """With what is missing, and nothing written."""
    for change in (
        EdgeAllowance("Nobody", "A", "1 mm"),
        RemoveEntry("Front", "notches", 9),
        RemoveSeam(99),
        Group("joined", ("Front", "Sleeve"), ()),
    ):
        with pytest.raises(Exception, match=r"no piece|no 10\. entry|no 100\. seam|do not stand"):
            change.done(demo("smock"))
