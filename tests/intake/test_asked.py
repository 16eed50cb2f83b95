"""What the pattern file asks for, put on the drawn pieces or refused beside them."""

import pytest

from tiler.intake.folder import read_sources
from tiler.pattern.errors import DrawingError, PatternError
from tiler.pattern.model import Lies, Part, Pattern, Role, Side, Source
from tiler.pattern.wishes import EdgeName, Finish, NotchShape

HEAD = 'title = "Smock"\n'
FRONT = '[[piece]]\nname = "Front"\ndrawing = "front.svg"\n'
BACK = '[[piece]]\nname = "Back"\ndrawing = "back.svg"\n'
PLAIN = '<rect x="10" y="20" width="100" height="200"/>'
CUT = PLAIN.replace("<rect", '<rect class="cut"')
GRAIN = '<line class="grain" x1="60" y1="200" x2="60" y2="40"/>'
FOLD = '<line class="fold" x1="10" y1="20" x2="10" y2="220"/>'


def read(text: str, front: str = CUT, back: str = CUT) -> Pattern:
    files = {"pattern.toml": text}
    for name, inside in (("front.svg", front), ("back.svg", back)):
        files[name] = (
            '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="300mm" '
            f'viewBox="0 0 300 300"><g stroke="black">{inside}</g></svg>'
        )
    return read_sources([Source(name, content.encode()) for name, content in files.items()])


def refused(text: str, front: str = CUT) -> str:
    with pytest.raises(PatternError) as told:
        read(text, front)
    return str(told.value)


def codes(pattern: Pattern) -> list[str]:
    return [finding.code for finding in pattern.findings]


class TestOnThePiece:
    """What is said lands where the drafter looks for it."""

    def test_widths_finishes_and_hems_on_their_edges(self) -> None:
        text = (
            'hem = { edge = "D", allowance = "40 mm" }\nallowances = { B = "10 mm" }\n'
            'finish = { C = "square" }\nfold = "A"\nnames = { D = "hem" }\n'
        )
        edges = read(HEAD + FRONT + text).pieces[0].outlines[0].edges
        assert [(e.lies, e.allowance, e.finish) for e in edges] == [
            (Lies.FOLD, None, None),
            (Lies.SEWN, 10, None),
            (Lies.SEWN, None, Finish.SQUARE),
            (Lies.HEM, 40, None),
        ]
        assert edges[3].name == "hem"

    def test_part_side_and_wishes(self) -> None:
        text = 'notch = "wedge"\n' + FRONT + 'part = "front"\nside = "right"\ngrain = "A"\n'
        piece = read(HEAD + text).pieces[0]
        assert (piece.part, piece.side) == (Part.FRONT, Side.RIGHT)
        assert piece.wishes.notch_shape is NotchShape.WEDGE
        assert piece.wishes.grain is not None
        assert piece.wishes.grain.along == "A"

    def test_seams_pairs_and_stretch_on_the_pattern(self) -> None:
        pattern = read(
            HEAD
            + 'traced_stretch = "25 %"\njoined = [["Front", "Back"]]\nstretch = { main = "5 %" }\n'
            + FRONT
            + BACK
            + '[[seam]]\njoin = ["Front.C", "Back.C"]\n'
        )
        assert pattern.joined == (("Front", "Back"),)
        assert (pattern.traced_stretch, pattern.cloth_stretch) == (0.25, (("main", 0.05),))
        assert pattern.seams[0].second == (EdgeName("Back", "C"),)


class TestTraced:
    """What an outline is, said in words or in the drawing."""

    @pytest.mark.parametrize("role", ["cut", "stitch"])
    def test_words_decide_where_the_drawing_does_not_say(self, role: str) -> None:
        pattern = read(f'{HEAD}traced = "{role}"\n{FRONT}', PLAIN)
        assert pattern.pieces[0].outlines[0].role is Role(role)
        assert codes(pattern) == []

    def test_without_either_it_is_assumed_and_told(self) -> None:
        pattern = read(HEAD + FRONT, PLAIN)
        assert pattern.pieces[0].outlines[0].role is Role.STITCH
        assert codes(pattern) == ["outline-role-assumed"]

    def test_they_may_agree(self) -> None:
        assert read(f'{HEAD}traced = "cut"\n{FRONT}').pieces[0].outlines[0].role is Role.CUT

    @pytest.mark.parametrize(
        ("text", "where"),
        [
            (f'{HEAD}traced = "stitch"\n{FRONT}', "pattern.toml line 2, key traced: "),
            (f'{HEAD}{FRONT}traced = "stitch"\n', "pattern.toml line 5, piece Front, key traced: "),
        ],
    )
    def test_a_drawing_that_says_otherwise_is_refused(self, text: str, where: str) -> None:
        assert refused(text) == (
            f"{where}the drawing says that the outline is a cut line (front.svg, piece Front), and "
            'the pattern file says traced = "stitch". Change the one that is wrong: cut includes '
            "the allowance, stitch is the seam itself."
        )

    def test_a_name_that_is_nearly_a_role_stays_a_doubt(self) -> None:
        with pytest.raises(DrawingError, match="looks like"):
            read(f'{HEAD}traced = "cut"\n{FRONT}', PLAIN.replace("<rect", '<rect class="stich"'))


class TestLetters:
    """An edge that is not there is told at the line that names it, with what there is."""

    @pytest.mark.parametrize(
        ("line", "key"),
        [
            ('allowances = { F = "5 mm" }', "key allowances.F"),
            ('finish = { F = "mitre" }', "key finish.F"),
            ('hem = { edge = "F" }', "key hem.edge"),
            ('press_darts = "F"', "key press_darts"),
            ('styles = { wide = "F" }', "key styles.wide"),
            ('grain = "F"', "key grain"),
            ('notches = [{ edge = "F", at = "5 mm" }]', "notch 1, key edge"),
            ('marks = [{ kind = "drill", edge = "F", at = "5 mm", inside = "5 mm" }]', "mark 1"),
            (
                'darts = [{ edge = "F", at = "5 mm", length = "5 mm", intake = "5 mm", '
                'pressed = "A" }]',
                "dart 1, key edge",
            ),
            (
                'darts = [{ edge = "A", at = "5 mm", length = "5 mm", intake = "5 mm", '
                'pressed = "F" }]',
                "dart 1, key pressed",
            ),
            (
                'darts = [{ edge = "A", at = "5 mm", length = "5 mm", intake = "5 mm", '
                'pressed = "B", gives = "F", blend = "5 mm" }]',
                "dart 1, key gives",
            ),
            (
                'darts = [{ beside = "F", at = "5 mm", inside = "5 mm", intake = "5 mm", '
                'lengths = ["5 mm", "5 mm"] }]',
                "dart 1, key beside",
            ),
        ],
    )
    def test_in_a_wish(self, line: str, key: str) -> None:
        told = refused(f"{HEAD}{FRONT}{line}\n")
        assert told.startswith(f"pattern.toml line 5, piece Front, {key}")
        assert told.endswith(
            'there is no edge "F". The outline has the edges A to D, clockwise from the lower left.'
        )

    def test_in_a_seam(self) -> None:
        told = refused(HEAD + FRONT + BACK + '[[seam]]\njoin = ["Front.A", ["Back.B", "Back.E"]]\n')
        assert told.startswith("pattern.toml line 9, seam 1, key join, piece Back: there is no")
        assert 'edge "E". The outline has the edges A to D' in told

    def test_the_name_of_an_edge_is_answered_with_its_letter(self) -> None:
        told = refused(HEAD + FRONT + 'names = { C = "side seam" }\npress_darts = "side seam"\n')
        assert 'The edge with this name is "C".' in told

    def test_a_width_on_the_fold_is_refused(self) -> None:
        told = refused(HEAD + FRONT + 'allowances = { A = "5 mm" }\n', CUT + FOLD)
        assert "key allowances.A: edge A is on the fold and is given an allowance of 5 mm." in told

    def test_nothing_on_the_fold_may_be_said(self) -> None:
        piece = read(HEAD + FRONT + 'allowances = { A = "0 mm" }\n', CUT + FOLD).pieces[0]
        assert piece.outlines[0].edges[0].allowance == 0


class TestGrain:
    """A grainline is drawn or asked for."""

    def test_both_are_refused(self) -> None:
        told = refused(HEAD + FRONT + 'grain = "A"\n', CUT + GRAIN)
        assert told == (
            "pattern.toml line 5, piece Front, key grain: a grainline is asked for, and one is "
            "drawn (front.svg, piece Front). Take the key grain away, or the line out of the "
            "drawing."
        )

    def test_along_a_fold_that_is_drawn(self) -> None:
        grain = read(HEAD + FRONT + 'grain = "fold"\n', CUT + FOLD).pieces[0].wishes.grain
        assert grain is not None
        assert grain.along == ""

    def test_along_a_fold_that_is_not_there(self) -> None:
        assert "but no edge is on the fold" in refused(HEAD + FRONT + 'grain = "fold"\n')


STYLE_LINE = '<line class="{}style:narrow" x1="90" y1="20" x2="90" y2="220"/>'


class TestStyles:
    """Styles that the words give edges of their own."""

    def test_a_style_without_a_line_counts_as_one_of_the_piece(self) -> None:
        pattern = read(HEAD + '[style]\nwide = "Wide"\n' + FRONT + 'styles = { wide = "C" }\n')
        assert pattern.styles == (("wide", "Wide"),)
        assert codes(pattern) == []

    def test_a_described_style_that_nothing_has_is_told(self) -> None:
        assert codes(read(HEAD + '[style]\nwide = "Wide"\n' + FRONT)) == ["style-not-drawn"]

    def test_one_that_is_neither_drawn_nor_described_is_refused(self) -> None:
        line = STYLE_LINE.format("cut ")
        told = refused(HEAD + FRONT + 'styles = { narow = "C" }\n', CUT + line)
        assert told == (
            "pattern.toml line 5, piece Front, key styles.narow: the style "
            '"narow" is neither drawn nor described. Did you mean "narrow"? Describe it under '
            "[style], or give its lines the class style:NAME."
        )

    def test_without_any_style_it_is_told_how_to_make_one(self) -> None:
        told = refused(HEAD + FRONT + 'styles = { wide = "C" }\n')
        assert told.endswith(
            "described. Describe it under [style], or give its lines the class style:NAME."
        )

    @pytest.mark.parametrize("role", ["cut", "stitch"])
    def test_a_line_that_says_only_its_style_is_a_line_of_the_outline_s_kind(
        self, role: str
    ) -> None:
        pattern = read(
            f'{HEAD}traced = "{role}"\n{FRONT}styles = {{ narrow = "C" }}\n',
            PLAIN + STYLE_LINE.format(""),
        )
        (line,) = pattern.pieces[0].lines
        assert (line.role, line.style) == (Role(role), "narrow")
        assert "role-not-said" not in codes(pattern)

    def test_without_edges_of_its_own_it_is_still_asked_what_it_is(self) -> None:
        pattern = read(HEAD + FRONT, CUT + STYLE_LINE.format(""))
        assert "role-not-said" in codes(pattern)

    def test_a_notch_on_a_stitch_line_of_a_style_stands_on_it(self) -> None:
        lines = STYLE_LINE.format("stitch ")
        notch = '<line class="notch style:narrow" x1="90" y1="100" x2="84" y2="100"/>'
        pattern = read(
            HEAD + 'traced = "stitch"\n[style]\nnarrow = "N"\n' + FRONT, PLAIN + lines + notch
        )
        assert codes(pattern) == []
        assert pattern.pieces[0].marks[0].at == pytest.approx((90, 200))

    @pytest.mark.parametrize(
        "attribute",
        [
            'class="cut style:long + short"',
            'data-role="style:long + short"',
            'inkscape:label="style:long + short" xmlns:inkscape='
            '"http://www.inkscape.org/namespaces/inkscape"',
        ],
    )
    def test_a_drawing_cannot_name_two_styles_in_one(self, attribute: str) -> None:
        with pytest.raises(DrawingError, match=r'the style "long \+ short" has " \+ " in its name'):
            read(HEAD + FRONT, f"<g {attribute}>{PLAIN}</g>")
