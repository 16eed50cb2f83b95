"""What `pattern.toml` may say, and what is answered when it says something else."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.intake.patternfile import LINE_LIMIT, PIECE_LIMIT, parse_pattern_file
from tiler.pattern.errors import BlocksheetError, FileError, PatternError
from tiler.pattern.model import Cut, Lay, Lies

APRON = '''title = "Potting apron"
maker = "Marrow Lane Allotment Society"
version = "1"
about = """
Two pockets,
long ties."""
allowance = "10 mm"
traced_from = "an apron that fits"

[cloth]
main = "Canvas"
lining = "Lawn"

[style]
short = "To the knee"

[[piece]]
name = "Body"
drawing = "body.svg"
cut = { count = 1, cloth = "main", lay = "fold" }
fold = "A"
hem = ["B", "d"]
names = { A = "centre front", D = "side" }
notes = ["Turn the hems first."]

[[piece]]
name = "Pocket"
drawing = "./parts/pocket.svg"
layer = "left"
allowance = "1/2 in"
cut = [
    { count = 2, cloth = "main", lay = "pair" },
    { count = 2, cloth = "lining", lay = "copies" },
]
'''
PIECE = 'title = "Apron"\n[[piece]]\nname = "Body"\ndrawing = "body.svg"\n'


def refused(text: str, kind: type[BlocksheetError] = PatternError) -> str:
    with pytest.raises(kind) as told:
        parse_pattern_file(text.encode())
    return str(told.value)


class TestWhole:
    """A file with everything in it."""

    words = parse_pattern_file(APRON.encode())

    def test_the_head(self) -> None:
        assert self.words.title == "Potting apron"
        assert self.words.maker == "Marrow Lane Allotment Society"
        assert self.words.version == "1"
        assert self.words.about == "Two pockets, long ties."
        assert self.words.traced_from == "an apron that fits"
        assert self.words.cloths == (("main", "Canvas"), ("lining", "Lawn"))
        assert self.words.styles == (("short", "To the knee"),)

    def test_a_piece(self) -> None:
        body = self.words.pieces[0]
        assert (body.name, body.drawing, body.layer) == ("Body", "body.svg", "")
        assert body.cuts == (Cut(1, "main", Lay.FOLD),)
        assert body.notes == ("Turn the hems first.",)
        assert body.where == "pattern.toml line 17, piece Body"
        assert [(word.letter, word.lies, word.name) for word in body.edges] == [
            ("A", Lies.FOLD, ""),
            ("B", Lies.HEM, ""),
            ("D", Lies.HEM, ""),
            ("A", None, "centre front"),
            ("D", None, "side"),
        ]
        assert body.edges[1].where == "pattern.toml line 22, piece Body, key hem"

    def test_the_allowance_of_the_pattern_holds_unless_the_piece_has_its_own(self) -> None:
        assert [piece.allowance for piece in self.words.pieces] == [10.0, 12.7]

    def test_a_piece_in_a_layer_cut_from_two_cloths(self) -> None:
        pocket = self.words.pieces[1]
        assert pocket.drawing == "parts/pocket.svg"
        assert pocket.layer == "left"
        assert pocket.cuts == (Cut(2, "main", Lay.PAIR), Cut(2, "lining", Lay.COPIES))


def test_what_is_not_said_stays_open() -> None:
    (piece,) = parse_pattern_file(PIECE.encode()).pieces
    assert piece.cuts == ()
    assert piece.allowance is None


def test_a_mark_at_the_start_of_the_file_is_read_over() -> None:
    """Some editors begin UTF-8 files with a byte order mark."""
    assert parse_pattern_file(b"\xef\xbb\xbf" + PIECE.encode()).title == "Apron"


class TestToml:
    """A file that is not TOML."""

    def test_a_slip_is_told_with_line_and_column(self) -> None:
        words = refused('title = "Apron"\nmaker = Marrow\n', FileError)
        assert words.startswith("pattern.toml line 2, column 9: this is not TOML")

    def test_a_slip_at_the_end_is_told_with_its_line(self) -> None:
        assert refused('title = "Apron"\nmaker = ', FileError).startswith("pattern.toml line 2")

    def test_a_key_that_stands_twice(self) -> None:
        assert "line 2" in refused('title = "A"\ntitle = "B"\n', FileError)

    def test_bytes_that_are_no_utf_8_are_told_with_their_line(self) -> None:
        with pytest.raises(FileError, match=r"pattern\.toml line 2: this is not UTF-8"):
            parse_pattern_file(b'title = "A"\nmaker = "\xe9"\n')

    @pytest.mark.parametrize(
        "text",
        [
            "a = " + "[" * 4000,
            "a = " + "[\n" * 100_000,
            "a = " + "{b = " * 900,
            "a = " + "9" * 4900,
            ".".join("a" * (LINE_LIMIT // 2)) + ".long = 1",
        ],
        ids=["lists", "lists over lines", "tables", "digits", "dots"],
    )
    def test_a_file_made_to_hang_the_parser_is_refused(self, text: str) -> None:
        assert refused(text, FileError).startswith("pattern.toml")

    @given(st.text(max_size=200))
    def test_any_text_is_read_or_refused(self, text: str) -> None:
        with pytest.raises(BlocksheetError):
            parse_pattern_file(text.encode("utf-8", "replace"))

    @given(st.binary(max_size=200))
    def test_any_bytes_are_read_or_refused(self, content: bytes) -> None:
        with pytest.raises(BlocksheetError):
            parse_pattern_file(content)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", 'pattern.toml, key title: title is missing. Write title = "Potting apron".'),
        ('title = " "\n', "pattern.toml line 1, key title: title is empty."),
        ("title = 3\n", "line 1, key title: title is a whole number, not text."),
        ('title = "a\\u0000b"\n', "line 1, key title: title has a control character"),
        ('titel = "A"\n', 'line 1, key titel: unknown key "titel". Did you mean "title"?'),
        ('title = "A"\nallowance = 15\n', "line 2, key allowance: the length 15 has no unit."),
        ('title = "A"\nallowance = "15"\n', '"15 mm", "1.5 cm" or "5/8 in"'),
        ('title = "A"\nallowance = "-5 mm"\n', "line 2, key allowance: allowance is less than"),
        ('title = "A"\nallowance = true\n', "allowance is true or false, not a length."),
        ('title = "A"\ncloth = "linen"\n', "line 2, key cloth: cloth is text, not a table."),
        ('title = "A"\n[cloth]\nmain = 3\n', "line 3, table [cloth], key main: main is a whole"),
        ('title = "A"\n', "pattern.toml: the pattern has no pieces. Add for each piece [[piece]]"),
        ('title = "A"\n[piece]\nname = "B"\n', "[piece] stands in single brackets"),
        ('title = "A"\npiece = [3]\n', "piece 1 is a whole number, not a table."),
        ('title = "A"\n[[piece]]\nname = "B"\n', "line 2, piece B, key drawing: drawing is"),
        ('title = "A"\n[[piece]]\n', "piece number 1, key name: name is missing."),
        (f'title = "{"A" * 121}"\n', "title has 121 characters. Keep it to 120"),
    ],
)
def test_a_slip_is_answered_with_place_and_remedy(text: str, words: str) -> None:
    assert words in refused(text)


def test_a_key_that_cannot_be_shown_is_shortened() -> None:
    told = refused(f'title = "A"\n"a\\n{"b" * 900}" = 1\n')
    assert "\n" not in told
    assert "b" * 50 not in told
    # What follows is the list of keys that there are.
    assert len(told.partition(" Known here: ")[0]) < 160


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('fould = "A"', 'line 5, piece Body, key fould: unknown key "fould". Did you mean "fold"?'),
        ("fold = 1", "line 5, piece Body, key fold: fold is a whole number, not text."),
        ('fold = ["A", ""]', "key fold: fold has an empty text."),
        ('hem = "A"\nraw = "A"', "line 6, piece Body, key raw: edge A is given as hem and as raw."),
        ('fold = ["A"]\nhem = "a"', "edge A is given as fold and as hem."),
        ('names = "front"', "line 5, piece Body, key names: names is text, not a table."),
        ('cut = { count = 0, lay = "pair" }', "key cut.count: count must be from 1 to 1000."),
        ('cut = { count = -2, lay = "pair" }', "count must be from 1 to 1000."),
        ('cut = { count = "2", lay = "pair" }', "key cut.count: count is text, not a whole"),
        ('cut = { count = true, lay = "pair" }', "count is true or false, not a whole number."),
        ('cut = { lay = "pair" }', "key cut.count: count is missing."),
        ("cut = { count = 2 }", 'key cut.lay: lay is missing. Write "fold" (on the fold), "pair"'),
        ('cut = { count = 2, lay = "mirror" }', 'there is no lay "mirror". Write "fold"'),
        ('cut = { count = 2, lays = "pair" }', 'unknown key "lays". Did you mean "lay"?'),
        ("cut = 2", "line 5, piece Body, key cut: cut is a whole number, not a table."),
        ("allowance = 10", "line 5, piece Body, key allowance: the length 10 has no unit."),
        ("notes = [1]", "key notes: notes is a whole number, not text."),
    ],
)
def test_a_slip_in_a_piece_is_answered_with_place_and_remedy(line: str, words: str) -> None:
    assert words in refused(f"{PIECE}{line}\n")


@pytest.mark.parametrize(
    ("drawing", "words"),
    [
        ("/tmp/body.svg", "is not named from the pattern folder"),
        ("C:\\\\drawings\\\\body.svg", "is not named from the pattern folder"),
        ("C:/body.svg", "is not named from the pattern folder"),
        ("parts\\\\body.svg", "with forward slashes"),
        ("../body.svg", "lies outside of the pattern folder"),
        ("parts/../../body.svg", "lies outside of the pattern folder"),
        ("body.png", "is not an .svg file"),
    ],
)
def test_a_drawing_lies_in_the_folder(drawing: str, words: str) -> None:
    text = f'title = "A"\n[[piece]]\nname = "Body"\ndrawing = "{drawing}"\n'
    told = refused(text)
    assert told.startswith("pattern.toml line 4, piece Body, key drawing: ")
    assert words in told


def test_a_cloth_that_is_not_in_the_table_is_told_the_near_one() -> None:
    text = PIECE + 'cut = { count = 1, cloth = "mian", lay = "copies" }\n[cloth]\nmain = "Linen"\n'
    told = refused(text)
    assert told.startswith("pattern.toml line 5, piece Body, key cut.cloth: ")
    assert told.endswith('there is no cloth "mian" in the table [cloth]. Did you mean "main"?')


def test_without_a_table_of_cloths_any_name_will_do() -> None:
    text = PIECE + 'cut = { count = 1, cloth = "sacking", lay = "copies" }\n'
    assert parse_pattern_file(text.encode()).pieces[0].cuts == (Cut(1, "sacking", Lay.COPIES),)


def test_two_pieces_of_one_name_are_refused_with_both_places() -> None:
    told = refused(PIECE + '[[piece]]\nname = "BODY"\ndrawing = "b.svg"\n')
    assert told.startswith('pattern.toml line 5, piece BODY: two pieces are called "BODY".')
    assert "the first is at pattern.toml line 2, piece Body" in told


def test_a_pattern_has_no_more_than_two_hundred_pieces() -> None:
    pieces = "".join(
        f'[[piece]]\nname = "P{i}"\ndrawing = "p.svg"\n' for i in range(PIECE_LIMIT + 1)
    )
    assert "the pattern has 201 pieces" in refused('title = "A"\n' + pieces)
