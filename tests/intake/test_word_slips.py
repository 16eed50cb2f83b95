"""What is answered when a new word of a pattern file is not what it can be."""

import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.intake.said import BACK, HEAD, PIECE, read, refused
from tiler.pattern.errors import BlocksheetError


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('traced = "seam"', 'key traced: there is no traced "seam". Write traced = "cut" or'),
        ('part = "middle"', 'there is no part "middle". Write part = "front" or part = "back".'),
        ("side = 1", "key side: side is a whole number, not text."),
        (
            'paper = "opened"',
            'there is no paper "opened". Write paper = "half" or paper = "whole".',
        ),
        ('stitch_line = "yes"', "stitch_line is text, not true or false."),
        ('press_darts = ""', "press_darts is empty."),
        ('hem = { edge = "F", allowance = 40 }', "key hem.allowance: the length 40 has no unit."),
        ('hem = { allowance = "40 mm" }', "key hem.edge: edge names no edge."),
        ('hem = { edge = ["F", "f"] }', "key hem.edge: edge names edge F twice."),
        ('hem = { edges = "F" }', 'key hem.edges: unknown key "edges". Did you mean "edge"?'),
        ('hem = ["F", 3]', "key hem: hem is a whole number, not text."),
        ('hem = ["F", ""]', "key hem: hem has an empty text."),
        (
            'hem = { edge = "F", allowance = "40 mm" }\nallowances = { F = "30 mm" }',
            "line 6, piece Front, key allowances: edge F is given two widths, 40 mm and 30 mm.",
        ),
        (
            'hem = { edge = "F", finish = "mitre" }\nfinish = { F = "square" }',
            "line 6, piece Front, key finish: edge F is given two finishes, mitre and square.",
        ),
        (
            'hem = [{ edge = "F", allowance = "4 mm" }, { edge = "F", allowance = "3 mm" }]',
            "key hem: edge F is given two widths, 4 mm and 3 mm.",
        ),
        ('allowances = { F = "-3 mm" }', "key allowances.F: F is less than nothing."),
        ('allowances = "3 mm"', "key allowances: allowances is text, not a table."),
        ('finish = { F = "round" }', 'there is no F "round". Write F = "mitre" or F = "square" or'),
        ("styles = { wide = [] }", "key styles.wide: wide names no edge."),
        ('styles = { "a + b" = "B" }', 'the style "a + b" has " + " in its name'),
        ('styles = { "" = "B" }', "a style has no usable name."),
        ("grain = 45", "grain is a whole number, not the letter of an edge."),
        ('grain = { turn = "45 deg" }', "key grain.along: along is missing."),
        (
            'grain = { along = "A", turn = "45" }',
            'turn "45" is not an angle in degrees. Write turn =',
        ),
        ('grain = { along = "A", turn = "181 deg" }', "turn must be from -180 deg to 180 deg."),
        ('notches = ["E"]', "key notches: notches holds text, not a table."),
        ("notchs = []", 'unknown key "notchs". Did you mean "notches"?'),
        ("marks = 3", "key marks: marks holds a whole number, not a table."),
    ],
)
def test_a_slip_in_a_piece_is_answered(line: str, words: str) -> None:
    told = refused(f"{HEAD}{PIECE}{line}\n")
    assert told.startswith("pattern.toml line ")
    assert ", piece Front, key " in told or "no usable name" in told
    assert words in told


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('notch = "vee"', 'line 2, key notch: there is no notch "vee". Write notch = "slit" or'),
        ("stitch_line = 1", "line 2, key stitch_line: stitch_line is a whole number, not true or"),
        ("traced_stretch = 25", "key traced_stretch: traced_stretch is a whole number, not a perc"),
        ('traced_stretch = "301 %"', "traced_stretch must be from 0 % to 300 %."),
        ('traced_stretch = "-1 %"', "traced_stretch must be from 0 % to 300 %."),
        (
            'traced_stretch = "25"',
            'traced_stretch "25" is not a percentage. Write traced_stretch =',
        ),
        ('joined = "Front"', "line 2, key joined: joined is not a list of pairs."),
        ('joined = ["Front", "No. 2 back"]', "joined does not hold pairs of two pieces."),
        ('joined = [["Front"]]', "joined does not hold pairs of two pieces."),
        ('joined = [["Front", "Front"]]', '"Front" is joined to itself.'),
        ('joined = [["Front", "Back"]]', 'there is no piece "Back". '),
        (
            'joined = [["Front", "No. 2 back"], ["No. 2 back", "Front"]]',
            '"No. 2 back" stands in two pairs.',
        ),
        (
            'keep_together = "Front"',
            "line 2, key keep_together: keep_together is not a list of groups, each a list of "
            'names. Write keep_together = [["Front", "Front facing"]].',
        ),
        ('keep_together = ["Front", "No. 2 back"]', "is not a list of groups"),
        ('keep_together = [["Front", 3]]', "keep_together is a whole number, not text."),
        ('keep_together = [["Front", "No. 2 bck"]]', 'Did you mean "No. 2 back"?'),
        ('keep_together = [["Front", "Front"]]', '"Front" stands twice in one group. Name it'),
        (
            'keep_together = [["Front", "No. 2 back"], ["No. 2 back", "Front"]]',
            '"No. 2 back" stands in two groups. Make one group of the two.',
        ),
        ('keep_together = [["Front"]]', 'the group of "Front" has no other piece. Name the'),
        ("keep_together = [[]]", "a group is empty. Name the pieces"),
        ("seam = 3", "line 2, key seam: seam holds a whole number, not a table."),
        ('stretch = { mian = "3 %" }\ncloth = { main = "Linen" }', 'Did you mean "main"?'),
        ('style = { "a + b" = "both" }', 'the style "a + b" has " + " in its name'),
    ],
)
def test_a_slip_at_the_top_is_answered(line: str, words: str) -> None:
    assert words in refused(f"{HEAD}{line}\n{PIECE}{BACK}")


@pytest.mark.parametrize(
    ("lines", "line", "words"),
    [
        ('name = "side"', 8, "key join: join is missing. Write join = "),
        ('join = ["Front.E"]', 9, "join does not have two sides."),
        ('join = ["Front.E", []]', 9, "one side of the seam names no edge."),
        ('join = ["Front.E", 3]', 9, "join is a whole number, not text."),
        (
            'join = ["Front.E", "No. 2 bck.E"]',
            9,
            'no piece "No. 2 bck". Did you mean "No. 2 back"?',
        ),
        ('join = ["Front.E", "No. 2 back"]', 9, 'there is no piece "No". '),
        ('join = ["Front.E", ".B"]', 9, '".B" does not name an edge of a piece.'),
        ('join = ["Front.E", "Front."]', 9, '"Front." does not name an edge of a piece.'),
        ('join = ["Front.E", "Front.B"]\nease = 7', 10, "key ease: the length 7 has no unit."),
        ('join = ["Front.E", "Front.B"]\nease = []', 10, "ease is neither one length nor two."),
        (
            'join = ["Front.E", "Front.B"]\nease = ["9 mm", "5 mm"]',
            10,
            "ease runs from 9 mm to 5 mm. Write the smaller one first.",
        ),
        ('join = ["Front.E", "Front.B"]\ntimes = 4', 10, "times is not two whole numbers."),
        ('join = ["Front.E", "Front.B"]\ntimes = [4, 0]', 10, "times must be from 1 to 1000."),
        ('join = ["Front.E", "Front.B"]\nturned = "no"', 10, "turned is text, not true or false."),
        ('join = ["Front.E", "Front.B"]\ntruned = true', 10, 'Did you mean "turned"?'),
    ],
)
def test_a_slip_in_a_seam_is_answered(lines: str, line: int, words: str) -> None:
    told = refused(f"{HEAD}{PIECE}{BACK}[[seam]]\n{lines}\n")
    assert told.startswith(f"pattern.toml line {line}, seam 1, key ")
    assert words in told


_VALUES = st.recursive(
    st.sampled_from(('"A"', '"5 mm"', '"40 %"', '"x.B"', "3", "true", '""', '"45 deg"', "1.5")),
    lambda inner: (
        st.lists(inner, max_size=3).map(lambda v: f"[{', '.join(v)}]")
        | st.dictionaries(
            st.sampled_from(("edge", "at", "cloth", "flat", "along", "turn", "kind", "A", "meets")),
            inner,
            max_size=3,
        ).map(lambda d: "{" + ", ".join(f"{k} = {v}" for k, v in d.items()) + "}")
    ),
    max_leaves=6,
)
_KEYS = [
    "traced",
    "stitch_line",
    "part",
    "side",
    "paper",
    "hem",
    "allowances",
    "finish",
    "press_darts",
    "styles",
    "grain",
    "notches",
    "marks",
    "darts",
    "fold",
    "raw",
    "names",
    "cut",
]


@given(st.dictionaries(st.sampled_from(_KEYS), _VALUES, max_size=4))
def test_any_values_are_read_or_refused_with_their_place(lines: dict[str, str]) -> None:
    text = HEAD + PIECE + "".join(f"{key} = {value}\n" for key, value in lines.items())
    told: BlocksheetError | None = None
    try:
        words = read(text)
    except BlocksheetError as bad:
        told = bad
    if told is None:
        assert words.pieces[0].name == "Front"
    else:
        assert told.where.startswith("pattern.toml line ")
        assert told.remedy


@pytest.mark.parametrize(
    "text",
    [
        HEAD + PIECE + "hem = [\n" + '"A",\n' * 100_000 + "]\n",
        HEAD + PIECE + "".join(f'allowances.A{n} = "3 mm"\n' for n in range(30_000)),
        HEAD
        + "".join(
            PIECE.replace("Front", f"Front {n}")
            + '[[piece.notches]]\nedge = "E"\nat = "5 %"\n' * 120
            for n in range(200)
        ),
    ],
    ids=["letters", "widths", "notches"],
)
def test_a_file_of_very_many_words_is_read_in_seconds(text: str) -> None:
    began = time.process_time()
    assert read(text).title == "Smock"
    assert time.process_time() - began < 20


def test_more_notches_than_anybody_cuts_are_refused() -> None:
    notches = '    { edge = "E", at = "5 %" },\n' * 1001
    told = refused(f"{HEAD}{PIECE}notches = [\n{notches}]\n")
    assert "key notches: notches has 1001 entries. Keep it to 1000 entries." in told
