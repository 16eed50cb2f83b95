"""Notches, marks and darts that a pattern file asks for."""

import pytest

from tests.intake.said import BACK, HEAD, PIECE, piece, read, refused
from tiler.pattern.wishes import (
    CheckCloth,
    DartWish,
    EdgeName,
    FisheyeWish,
    MarkWish,
    NotchShape,
    NotchWish,
    Place,
)


class TestNotches:
    """Notches on edges."""

    def test_every_form(self) -> None:
        words = read(
            HEAD
            + PIECE
            + 'notches = [\n    { edge = "E", at = "250 mm" },\n'
            + '    { edge = "e", at = "12.5 %", from = "end", count = 2, shape = "wedge" },\n'
            + "    # a comment, { in between\n"
            + '    { edge = "B", meets = "No. 2 back.D", count = 1 },\n]\n'
            + BACK
            + '[[seam]]\njoin = ["No. 2 back.D", "Front.B"]\n'
        )
        one, two, three = words.pieces[0].wishes.notches
        assert one == NotchWish(
            "E", Place("E", 250), where="pattern.toml line 6, piece Front, notch 1"
        )
        assert two == NotchWish(
            "E",
            Place("E", fraction=0.125, from_end=True),
            None,
            2,
            NotchShape.WEDGE,
            "pattern.toml line 7, piece Front, notch 2",
        )
        assert three == NotchWish(
            "B",
            meets=EdgeName("No. 2 back", "D"),
            count=1,
            where="pattern.toml line 9, piece Front, notch 3",
        )

    def test_headers_of_their_own_are_as_good(self) -> None:
        text = HEAD + PIECE + '[[piece.notches]]\nedge = "E"\nat = "5 %"\n' * 2 + BACK
        notches = read(text).pieces[0].wishes.notches
        assert [notch.where for notch in notches] == [
            "pattern.toml line 5, piece Front, notch 1",
            "pattern.toml line 8, piece Front, notch 2",
        ]
        told = refused(text.replace('at = "5 %"\n[[piece]]', 'at = "5 km"\n[[piece]]'))
        assert told.startswith("pattern.toml line 10, piece Front, notch 2, key at: ")

    @pytest.mark.parametrize(
        ("notch", "words"),
        [
            ('edge = "E"', "key at: a notch has neither at nor meets. Write at = "),
            (
                'edge = "E", at = "5 mm", meets = "Front.D"',
                "key at: a notch has both meets and at.",
            ),
            ('edge = "E", meets = "Front.D", from = "end"', "a notch has both meets and from."),
            ('at = "5 mm"', 'key edge: edge is missing. Write edge = "E"'),
            ('edge = 5, at = "5 mm"', "key edge: edge is a whole number, not text."),
            ('edge = "E", at = 5', "at is a whole number, neither a length nor a share"),
            ('edge = "E", at = "5"', "key at: the length '5' has no unit."),
            ('edge = "E", at = "-5 mm"', "key at: at is less than nothing."),
            ('edge = "E", at = "-5 %"', "key at: at must be from 0 % to 100 %."),
            ('edge = "E", at = "101 %"', "key at: at must be from 0 % to 100 %."),
            ('edge = "E", at = "half %"', 'key at: at "half %" is not a percentage.'),
            (
                'edge = "E", at = "5 mm", from = "top"',
                'there is no from "top". Write from = "start"',
            ),
            (
                'edge = "E", at = "5 mm", count = 3',
                "a notch cannot have the count 3. Write count = 1",
            ),
            ('edge = "E", at = "5 mm", count = 0', "key count: count must be from 1 to 1000."),
            (
                'edge = "E", at = "5 mm", count = true',
                "count is true or false, not a whole number.",
            ),
            (
                'edge = "E", at = "5 mm", shape = "v"',
                'there is no shape "v". Write shape = "slit" or',
            ),
            (
                'edge = "E", at = "5 mm", form = "v"',
                'key form: unknown key "form". Did you mean "from"',
            ),
            ('edge = "E", meets = "Front"', '"Front" does not name an edge of a piece.'),
            ('edge = "E", meets = "Frnt.D"', 'there is no piece "Frnt". Did you mean "Front"?'),
            ('edge = "E", meets = "Front.E"', "is to meet the notches of the same edge."),
            (
                'edge = "E", meets = "Front.D"',
                "no seam joins Front.E and Front.D. Add [[seam]] with",
            ),
        ],
    )
    def test_a_slip_is_answered(self, notch: str, words: str) -> None:
        told = refused(f"{HEAD}{PIECE}notches = [{{ {notch} }}]\n")
        assert told.startswith("pattern.toml line 5, piece Front, notch 1, key ")
        assert words in told


class TestMarks:
    """Buttons, buttonholes and drill marks."""

    def test_every_form(self) -> None:
        marks = piece(
            'marks = [\n    { kind = "button", edge = "A", at = "50 mm", inside = "15 mm", '
            'count = 5, apart = "80 mm" },\n    { kind = "buttonhole", edge = "A", at = "5 cm", '
            'inside = "15 mm", size = "20 mm" },\n    { kind = "drill", edge = "C", at = "50 %", '
            'from = "end", inside = "0 mm" },\n]'
        ).wishes.marks
        assert [mark.where[-6:] for mark in marks] == ["mark 1", "mark 2", "mark 3"]
        assert [(m.kind, m.at, m.inside, m.count, m.apart, m.size) for m in marks] == [
            ("button", Place("A", 50), 15, 5, 80, None),
            ("buttonhole", Place("A", 50), 15, 1, 0, 20),
            ("drill", Place("C", fraction=0.5, from_end=True), 0, 1, 0, None),
        ]
        assert isinstance(marks[0], MarkWish)

    @pytest.mark.parametrize(
        ("mark", "words"),
        [
            ('edge = "A", at = "5 mm", inside = "5 mm"', 'kind is missing. Write kind = "button".'),
            (
                'kind = "snap"',
                'there is no kind "snap". Write kind = "drill" or kind = "button" or',
            ),
            ('kind = "drill", edge = "A", at = "5 mm"', "inside is missing."),
            ('kind = "drill", inside = "5 mm", size = "3 mm"', "a drill mark has no size."),
            (
                'kind = "button", inside = "5 mm", count = 5, edge = "A", at = "5 mm"',
                "apart is missing.",
            ),
            (
                'kind = "button", inside = "5 mm", apart = "5 mm"',
                "apart is given for a single mark.",
            ),
            (
                'kind = "button", inside = "5 mm", size = "0 mm", edge = "A", at = "5 mm"',
                "size is nothing.",
            ),
        ],
    )
    def test_a_slip_is_answered(self, mark: str, words: str) -> None:
        told = refused(f"{HEAD}{PIECE}marks = [{{ {mark} }}]\n")
        assert told.startswith("pattern.toml line 5, piece Front, mark 1, key ")
        assert words in told


DART = 'edge = "B", at = "90 mm", length = "95 mm", pressed = "A"'
CLOTH = 'cloth = { flat = "12.5 mm", sewn = "9.5 mm", repeats = 10 }'
TWO = 'beside = "A", at = "300 mm", inside = "70 mm", intake = "20 mm"'


class TestDarts:
    """The three forms of darts."""

    def test_every_form(self) -> None:
        darts = piece(
            f'darts = [\n{{ {DART}, intake = "25 mm" }},\n'
            f'{{ {DART}, {CLOTH}, gives = "c", blend = "150 mm", slant = "-5 deg" }},\n'
            f'{{ {TWO}, lengths = ["110 mm", "13 cm"] }},\n]'
        ).wishes.darts
        start = "pattern.toml line"
        assert darts == (
            DartWish(Place("B", 90), 95, 25, "A", where=f"{start} 6, piece Front, dart 1"),
            DartWish(
                Place("B", 90),
                95,
                CheckCloth(12.5, 9.5, 10),
                "A",
                "C",
                150,
                -5,
                f"{start} 7, piece Front, dart 2",
            ),
            FisheyeWish(Place("A", 300), 70, 20, (110, 130), f"{start} 8, piece Front, dart 3"),
        )

    @pytest.mark.parametrize(
        ("dart", "words"),
        [
            ('at = "5 mm"', "key edge: a dart names no edge."),
            ('edg = "B"', 'key edg: unknown key "edg". Did you mean "edge"?'),
            (f'{DART}, beside = "A"', "a dart has both edge and beside."),
            (DART, "key intake: a dart has neither intake nor cloth."),
            (f'{DART}, intake = "5 mm", {CLOTH}', "a dart has both intake and cloth."),
            (f'{DART}, intake = "0 mm"', "key intake: intake is nothing."),
            (f'{DART}, intake = "-3 mm"', "key intake: intake is less than nothing."),
            (f'{DART}, intake = "5 mm", lengths = []', 'unknown key "lengths".'),
            (f'{DART}, intake = "5 mm", blend = "5 mm"', "blend is given, but no edge gives."),
            (f'{DART}, intake = "5 mm", gives = "C"', "key blend: blend is missing."),
            (f'{DART}, intake = "5 mm", gives = "B", blend = "5 mm"', "the dart's own edge B."),
            (f'{DART}, intake = "5 mm", slant = 5', "slant is a whole number, not an angle."),
            (f'{DART}, intake = "5 mm", slant = "5"', 'slant "5" is not an angle in degrees.'),
            (f'{DART}, intake = "5 mm", slant = "90 deg"', "must be from -80 deg to 80 deg."),
            ('edge = "B", at = "5 mm", intake = "5 mm"', "key pressed: pressed is missing."),
            (f"{DART}, {CLOTH.replace('9.5', '12.5')}", "so the dart takes nothing in."),
            (f"{DART}, {CLOTH.replace('sewn', 'sown')}", 'key cloth.sown: unknown key "sown".'),
            (f"{DART}, {CLOTH.replace('10', '1.5')}", "repeats is a number, not a whole number."),
            (f'{DART}, cloth = "5 mm"', "key cloth: cloth is text, not a table."),
            (TWO, "key lengths: lengths is missing."),
            (f'{TWO}, lengths = ["110 mm"]', "lengths is not two lengths."),
            (f'{TWO}, lengths = ["110 mm", "0 mm"]', "one of the lengths is nothing."),
            (f'{TWO}, lengths = ["110 mm", 5]', "the length 5 has no unit."),
            (f'{TWO}, lengths = ["1 mm", "1 mm"], pressed = "A"', 'unknown key "pressed".'),
        ],
    )
    def test_a_slip_is_answered(self, dart: str, words: str) -> None:
        told = refused(f"{HEAD}{PIECE}darts = [{{ {dart} }}]\n")
        assert told.startswith("pattern.toml line 5, piece Front, dart 1, key ")
        assert words in told
