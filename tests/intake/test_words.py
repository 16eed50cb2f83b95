"""The words of a pattern file for edges, seams, stretch and plain wishes."""

import pytest

from tests.intake.said import BACK, HEAD, PIECE, piece, read
from tiler.pattern.model import Lies, Part, Role, Side
from tiler.pattern.wishes import (
    EdgeName,
    Finish,
    GrainWish,
    NotchShape,
    Paper,
)


class TestPattern:
    """Words for the whole pattern."""

    def test_what_is_not_said_stays_open(self) -> None:
        words = read(HEAD + PIECE)
        assert words.seams == words.joined == words.together == words.cloth_stretch == ()
        assert words.traced_stretch is None
        front = words.pieces[0]
        assert front.traced is front.part is front.side is None
        assert front.wishes == type(front.wishes)()
        assert front.letters == ()

    def test_stretch(self) -> None:
        words = read(
            HEAD + 'traced_stretch = "25 %"\n[stretch]\nmain = "0%"\njersey = "12.5 %"\n' + PIECE
        )
        assert words.traced_stretch == 0.25
        assert words.cloth_stretch == (("main", 0.0), ("jersey", 0.125))

    def test_what_is_traced_may_be_said_for_all_and_for_one(self) -> None:
        words = read(HEAD + 'traced = "cut"\n' + PIECE + 'traced = "stitch"\n' + BACK)
        assert [each.traced for each in words.pieces] == [Role.STITCH, Role.CUT]
        assert words.pieces[0].traced_where == "pattern.toml line 6, piece Front, key traced"
        assert words.pieces[1].traced_where == "pattern.toml line 2, key traced"

    def test_stitch_lines_and_notches_hold_for_all_pieces_unless_one_says_otherwise(self) -> None:
        words = read(
            HEAD + 'notch = "wedge"\nstitch_line = true\n' + PIECE + "stitch_line = false\n" + BACK
        )
        assert [each.wishes.stitch_line for each in words.pieces] == [False, True]
        assert [each.wishes.notch_shape for each in words.pieces] == [NotchShape.WEDGE] * 2

    def test_pieces_joined_on_one_sheet(self) -> None:
        words = read(HEAD + 'joined = [["Front", "No. 2 back"]]\n' + PIECE + BACK)
        assert words.joined == (("Front", "No. 2 back"),)

    def test_pieces_kept_together(self) -> None:
        words = read(HEAD + 'keep_together = [["No. 2 back", "Front"]]\n' + PIECE + BACK)
        assert words.together == (("No. 2 back", "Front"),)

    def test_no_group_is_kept_together_when_the_list_is_empty(self) -> None:
        assert read(HEAD + "keep_together = []\n" + PIECE).together == ()


class TestSeams:
    """Which edges are sewn together."""

    def test_one_edge_a_side(self) -> None:
        words = read(
            HEAD + PIECE + BACK + '[[seam]]\nname = "side"\njoin = ["Front.e", "No. 2 back.E"]\n'
        )
        (seam,) = words.seams
        assert seam.first == (EdgeName("Front", "E"),)
        assert seam.second == (EdgeName("No. 2 back", "E"),)
        assert (seam.ease, seam.times, seam.name, seam.turned) == ((0, 0), (1, 1), "side", None)
        assert seam.where == "pattern.toml line 10, seam 1, key join"

    def test_a_side_of_several_edges_with_everything(self) -> None:
        words = read(
            HEAD
            + PIECE
            + BACK
            + '[[seam]]\njoin = [["Front.D", "No. 2 back. d"], "Front.B"]\n'
            + 'ease = ["-5 mm", "1 cm"]\n'
            + "times = [4, 6]\nturned = true\n[[seam]]\n"
            + 'join = [["Front.A"], ["Front.A"]]\nease = "7 mm"\nturned = false\n'
        )
        one, other = words.seams
        assert one.first == (EdgeName("Front", "D"), EdgeName("No. 2 back", "D"))
        assert (one.ease, one.times, one.turned) == ((-5, 10), (4, 6), True)
        assert (other.ease, other.turned) == ((7, 7), False)

    @pytest.mark.parametrize(
        ("ease", "equal"),
        [
            ("", False),
            ('ease = "0 mm"', True),
            ('ease = ["0 mm", "0 in"]', True),
            ('ease = ["0 mm", "2 mm"]', False),
        ],
    )
    def test_no_ease_can_be_said_or_left_open(self, ease: str, equal: bool) -> None:
        (seam,) = read(f'{HEAD}{PIECE}[[seam]]\njoin = ["Front.A", "Front.C"]\n{ease}\n').seams
        assert seam.equal is equal


class TestEdges:
    """Words about edges by their letters."""

    def test_hems_as_letters_and_as_tables(self) -> None:
        words = piece('hem = ["B", { edge = ["c", "D"], allowance = "4 cm", finish = "mitre" }]')
        assert [(w.letter, w.lies, w.allowance, w.finish) for w in words.edges] == [
            ("B", Lies.HEM, None, None),
            ("C", Lies.HEM, 40, Finish.MITRE),
            ("D", Lies.HEM, 40, Finish.MITRE),
        ]

    def test_a_single_hem_with_a_width(self) -> None:
        (word,) = piece('hem = { edge = "F", allowance = "40 mm" }').edges
        assert (word.letter, word.lies, word.allowance) == ("F", Lies.HEM, 40)
        assert word.where == "pattern.toml line 5, piece Front, key hem.edge"

    def test_widths_and_finishes(self) -> None:
        words = piece('allowances = { b = "10 mm", C = "0 mm" }\nfinish = { C = "square" }')
        assert [(w.letter, w.lies, w.allowance, w.finish) for w in words.edges] == [
            ("B", None, 10, None),
            ("C", None, 0, None),
            ("C", None, None, Finish.SQUARE),
        ]

    def test_a_hem_may_have_its_width_among_the_widths(self) -> None:
        words = piece('hem = "D"\nallowances = { D = "40 mm" }')
        assert [(w.letter, w.lies, w.allowance) for w in words.edges] == [
            ("D", Lies.HEM, None),
            ("D", None, 40),
        ]


class TestPlainWishes:
    """Wishes of one word."""

    def test_part_side_and_paper(self) -> None:
        words = piece('part = "back"\nside = "left"\npaper = "whole"\npress_darts = "c"')
        assert (words.part, words.side) == (Part.BACK, Side.LEFT)
        assert (words.wishes.paper, words.wishes.press_darts) == (Paper.WHOLE, "C")
        assert [(letter.letter, letter.where) for letter in words.letters] == [
            ("C", "pattern.toml line 8, piece Front, key press_darts")
        ]

    @pytest.mark.parametrize(
        ("value", "along", "turn"),
        [
            ('"a"', "A", 0.0),
            ('"fold"', "", 0.0),
            ('{ along = "A", turn = "45 deg" }', "A", 45.0),
            ('{ along = "fold", turn = "-22.5 deg" }', "", -22.5),
            ('{ along = "A", turn = "90°" }', "A", 90.0),
        ],
    )
    def test_grain(self, value: str, along: str, turn: float) -> None:
        grain = piece(f"grain = {value}").wishes.grain
        assert grain == GrainWish(along, turn, "pattern.toml line 5, piece Front, key grain")

    def test_styles(self) -> None:
        words = piece('styles = { wide = "b", "very narrow" = ["B", "C"] }')
        assert [(w.style, w.edges) for w in words.wishes.styles] == [
            ("wide", ("B",)),
            ("very narrow", ("B", "C")),
        ]
        assert words.wishes.styles[0].where == "pattern.toml line 5, piece Front, key styles.wide"
