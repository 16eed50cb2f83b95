"""What a written pattern folder looks like, and what it refuses to hold."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from tests.strategies import pattern_of, rectangular
from tiler.intake.folder import read_sources
from tiler.output.folder import folder_files
from tiler.output.folder.names import drawing_names
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import (
    Cut,
    Edge,
    Lay,
    Lies,
    Line,
    Outline,
    Pattern,
    Piece,
    Role,
    Seam,
    Source,
)
from tiler.pattern.path import polyline
from tiler.pattern.wishes import EdgeName, Finish, NotchShape, NotchWish, Place, StyleWish, Wishes

FRONT = rectangular("Front", 100, 200)


def toml_of(pattern: Pattern) -> str:
    return folder_files(pattern)["pattern.toml"].decode()


def again(pattern: Pattern) -> Pattern:
    files = folder_files(pattern)
    return read_sources([Source(name, content) for name, content in files.items()])


def with_edges(piece: Piece, **said: dict[str, object]) -> Piece:
    """The piece with facts on edges: with_edges(piece, A={"name": "fold"})."""
    outlines = tuple(
        replace(o, edges=tuple(replace(e, **said.get(e.letter, {})) for e in o.edges))
        for o in piece.outlines
    )
    return replace(piece, outlines=outlines)


class TestWords:
    """The pattern file reads as if written by hand."""

    def test_a_plain_piece_says_no_more_than_there_is_to_say(self) -> None:
        front = replace(FRONT, cuts=(Cut(1, "main", Lay.FOLD),), allowance=15.0)
        front = with_edges(front, A={"lies": Lies.FOLD, "name": "centre front"})
        wishes = Wishes(notches=(NotchWish("C", Place("C", fraction=0.4)),))
        pattern = pattern_of(replace(front, wishes=wishes), cloths=(("main", "Linen"),))
        assert toml_of(pattern) == (
            'title = "Seed apron"\n'
            'allowance = "15 mm"\n'
            "\n"
            "[cloth]\n"
            'main = "Linen"\n'
            "\n"
            "[[piece]]\n"
            'name = "Front"\n'
            'drawing = "front.svg"\n'
            'cut = { count = 1, cloth = "main", lay = "fold" }\n'
            'fold = "A"\n'
            'names = { A = "centre front" }\n'
            'notches = [{ edge = "C", at = "40 %" }]\n'
        )

    def test_hems_with_a_width_are_tables_and_others_letters(self) -> None:
        front = with_edges(
            FRONT,
            B={"lies": Lies.HEM},
            C={"allowance": 10.0, "finish": Finish.SQUARE},
            D={"lies": Lies.HEM, "allowance": 40.0, "finish": Finish.MITRE},
        )
        text = toml_of(pattern_of(front))
        assert (
            'hem = [\n    "B",\n    { edge = "D", allowance = "40 mm", finish = "mitre" },\n]'
            in text
        )
        assert 'allowances = { C = "10 mm" }' in text
        assert 'finish = { C = "square" }' in text

    def test_the_allowance_of_most_pieces_is_the_pattern_s(self) -> None:
        widths = {"Front": 15.0, "Back": 15.0, "Pocket": 12.0}
        pieces = [replace(rectangular(n, 90, 90), allowance=w) for n, w in widths.items()]
        text = toml_of(pattern_of(*pieces))
        assert text.count('allowance = "15 mm"') == 1
        assert text.count('allowance = "12 mm"') == 1

    def test_a_piece_without_an_allowance_keeps_the_pattern_from_having_one(self) -> None:
        pieces = [replace(rectangular("Front", 90, 90), allowance=15.0), rectangular("Tie", 90, 90)]
        back = again(pattern_of(*pieces))
        assert [piece.allowance for piece in back.pieces] == [15.0, None]

    def test_very_many_names_stand_under_a_header_of_their_own(self) -> None:
        points = [Point(60 * k, 100 + (k % 2) * 60) for k in range(30)]
        ring = [Point(0, 0), *points, Point(60 * 29, 0)]
        edges = []
        for k, start in enumerate(ring):
            path = polyline([start, ring[(k + 1) % len(ring)]])
            letter = chr(65 + k) if k < 26 else f"A{chr(65 + k - 26)}"
            edges.append(Edge(letter, path, name=f"{'long name ' * 10}{k}"))
        piece = Piece("Bunting", (Outline(Role.CUT, tuple(edges)),))
        text = toml_of(pattern_of(piece))
        assert "\n[piece.names]\n" in text
        assert max(map(len, text.splitlines())) < 1000


class TestDrawing:
    """One unit is a millimetre, and nothing moves that does not have to."""

    def test_a_rectangle(self) -> None:
        files = folder_files(pattern_of(FRONT))
        assert files["front.svg"].decode() == (
            '<svg xmlns="http://www.w3.org/2000/svg" width="110mm" height="210mm" '
            'viewBox="0 0 110 210">\n'
            "<!-- Front: drawn at true size, 1 unit = 1 mm -->\n"
            '<g fill="none" stroke="black" stroke-width="0.5">\n'
            '  <path class="cut" d="M 0,210\n    L 0,10\n    L 100,10\n    L 100,210 Z"/>\n'
            "</g>\n"
            "</svg>\n"
        )

    def test_a_corner_that_turns_by_less_than_thirty_degrees_is_marked(self) -> None:
        """The lower side of a skirt piece in two edges; the angle there is 20 degrees."""
        ring = [Point(0, 0), Point(0, 100), Point(100, 100), Point(100, 18.2), Point(50, 0)]
        paths = [polyline([p, ring[(k + 1) % 5]]) for k, p in enumerate(ring)]
        edges = tuple(Edge("ABCDE"[k], path) for k, path in enumerate(paths))
        pattern = pattern_of(Piece("Skirt", (Outline(Role.STITCH, edges),)))
        assert folder_files(pattern)["skirt.svg"].count(b'class="corner"') == 1
        assert [e.letter for e in again(pattern).pieces[0].outlines[0].edges] == list("ABCDE")

    def test_a_name_with_hyphens_stands_in_a_comment(self) -> None:
        pattern = pattern_of(rectangular("Tie --- long -->", 50, 50))
        assert again(pattern).pieces[0].name == "Tie --- long -->"

    def test_a_curve_between_corners_that_are_nearly_as_near_keeps_its_letters(self) -> None:
        """Two corners are equally near the lower left but for a hundred-thousandth of a mm."""
        ring = [Point(0, 30), Point(0, 100), Point(100, 100), Point(100, 0), Point(30.00003, 0)]
        paths = [polyline([p, ring[(k + 1) % 5]]) for k, p in enumerate(ring)]
        edges = tuple(Edge("ABCDE"[k], path) for k, path in enumerate(paths))
        back = again(pattern_of(Piece("Kite", (Outline(Role.CUT, edges),))))
        assert back.pieces[0].outlines[0].edges[0].path.start.y == pytest.approx(30)


class TestStyles:
    """Lines of styles, and styles that only words know."""

    def styled(self) -> Pattern:
        line = Line(Role.CUT, polyline([Point(0, 150), Point(100, 150)]), "short")
        wishes = Wishes(styles=(StyleWish("long", ("B",)), StyleWish("short", ("B", "C"))))
        piece = replace(FRONT, lines=(line,), wishes=wishes)
        return pattern_of(piece, styles=(("long", "to the ankle"), ("short", "")))

    def test_they_come_back(self) -> None:
        back = again(self.styled())
        assert back.styles == (("long", "to the ankle"), ("short", ""))
        assert [(w.style, w.edges) for w in back.pieces[0].wishes.styles] == [
            ("long", ("B",)),
            ("short", ("B", "C")),
        ]
        assert [(line.role, line.style) for line in back.pieces[0].lines] == [(Role.CUT, "short")]

    def test_a_style_that_the_drawing_brings_along_is_not_described(self) -> None:
        assert "short =" not in toml_of(self.styled()).split("[[piece]]")[0]

    def test_an_outline_for_each_style_folded_in_one_only(self) -> None:
        whole = with_edges(FRONT, A={"lies": Lies.FOLD}).outlines[0]
        low = tuple(
            replace(edge, path=edge.path.moved(Affine.scale(1, 0.8)), lies=Lies.SEWN)
            for edge in whole.edges
        )
        outlines = (replace(whole, style="long"), Outline(Role.CUT, low, "short"))
        pattern = pattern_of(
            replace(FRONT, outlines=outlines), styles=(("long", "Long"), ("short", "Short"))
        )
        back = again(pattern).pieces[0]
        assert [o.style for o in back.outlines] == ["long", "short"]
        assert [o.edges[0].lies for o in back.outlines] == [Lies.FOLD, Lies.SEWN]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda p: replace(p, shared=p.runs), "drafted already"),
        (
            lambda p: replace(p, lines=(Line(Role.INSIDE, p.outlines[0].path, "long + short"),)),
            "a line belongs to the styles",
        ),
        (
            lambda p: replace(p, lines=(Line(Role.INSIDE, p.outlines[0].path, "long hem"),)),
            "cannot hold the style",
        ),
        (
            lambda p: replace(p, lines=(Line(Role.CUT, p.outlines[0].path),)),
            "cannot hold this pattern",
        ),
        (lambda p: with_edges(p, B={"letter": "Q"}), "edges, 2, letter, 'Q' and 'B' would change"),
        (
            lambda p: with_edges(p, B={"lies": Lies.FOLD, "allowance": 5.0}),
            "is on the fold and is given an allowance",
        ),
        (lambda p: replace(p, name="two  spaces"), "would change"),
        (lambda p: replace(p, name=" \ud800"), "cannot hold this pattern"),
        (
            lambda p: replace(p, wishes=Wishes(notches=(NotchWish("A"),))),
            "neither a place nor an edge to meet",
        ),
        (
            lambda p: replace(p, wishes=Wishes(notches=(NotchWish("A", Place("A")),))),
            "a length and a share, or neither",
        ),
        (
            lambda p: replace(p, wishes=Wishes(styles=(StyleWish("wide", ("B",)),))),
            'the style "wide" is neither drawn nor described',
        ),
    ],
)
def test_what_a_folder_cannot_say_is_refused(change: Callable[[Piece], Piece], words: str) -> None:
    with pytest.raises(PatternError) as told:
        folder_files(pattern_of(change(FRONT)))
    assert words in str(told.value)


def test_two_shapes_of_notches_are_refused() -> None:
    other = replace(rectangular("Back", 90, 90), wishes=Wishes(notch_shape=NotchShape.WEDGE))
    with pytest.raises(PatternError, match=r"Front \(slit\) and Back \(wedge\)"):
        folder_files(pattern_of(FRONT, other))


@pytest.mark.parametrize(
    ("pieces", "files"),
    [
        (["Front", "front", "FRONT "], ["front", "front_2", "front_3"]),
        (["Ärmel links", "Zügel"], ["armel_links", "zugel"]),
        (["袖", "+"], ["piece", "piece_2"]),
        (["../../etc/passwd", ".hidden"], ["etc_passwd", "hidden"]),
        (["a" * 100], ["a" * 60]),
    ],
)
def test_drawings_have_plain_names(pieces: list[str], files: list[str]) -> None:
    assert list(drawing_names(pieces).values()) == [f"{name}.svg" for name in files]


def test_a_seam_without_ease_is_written_as_it_was_said() -> None:
    edges = (EdgeName("Front", "A"),), (EdgeName("Front", "C"),)
    for equal in (False, True):
        pattern = replace(pattern_of(FRONT), seams=(Seam(*edges, equal=equal),))
        assert ('ease = "0 mm"' in toml_of(pattern)) is equal
        assert again(pattern).seams[0].equal is equal
