"""The label of a piece: its name, how to cut it, what allowance it holds, the maker's notes."""

from __future__ import annotations

import dataclasses

import pytest
import shapely

from tests.demos import each_publication, pattern_of_demo, plan_of, publication_of, sheets_of
from tests.laying import laid
from tests.printed import everything_on, lines_on, words_on
from tests.strategies import pattern_of, rectangular
from tiler.drafting.paper import for_paper
from tiler.layout.papers import find_paper
from tiler.layout.tiles import PageSetup
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Cut, Lay, Lies, Outline, Part, Pattern, Piece, Role, Side
from tiler.pattern.wishes import Paper, Wishes
from tiler.sheets.allowances import allowance_words
from tiler.sheets.drawing import Page, Publication, Words
from tiler.sheets.label import WIDEST, cut_words, fitted, label_lines, short_label_lines
from tiler.sheets.lettering import SMALL, width_of
from tiler.sheets.pens import FOLD
from tiler.sheets.publication import lay_out

POCKET = rectangular("Seed pocket", 150, 180)


def whole_words(publication: Publication, layer: str) -> dict[str, list[str]]:
    """Page name -> the words of a layer that are printed there with nothing cut off."""
    return {
        page.name: [w.text for w in words_on(page) if w.layer == layer and w.whole]
        for page in publication.pages
    }


def wanted(piece: Piece, pattern: Pattern) -> list[str]:
    """What nobody can do without: name, cutting instruction, allowance."""
    cuts = [cut_words(cut) for cut in piece.cuts] or [cut_words(None)]
    return [piece.name, *cuts, allowance_words(piece)]


@each_publication
def test_each_piece_has_its_label_in_full_on_one_page(demo: str, paper: str) -> None:
    """Name, cutting instruction and allowance stand together on a page, with nothing cut off."""
    pattern, publication = pattern_of_demo(demo), publication_of(demo, paper)
    missing = []
    for piece in pattern.pieces:
        found = whole_words(publication, piece.name)
        texts = [" ".join(words) for words in found.values()]
        if not any(all(part in text for part in wanted(piece, pattern)) for text in texts):
            missing.append(piece.name)
    assert missing == []


@each_publication
def test_every_word_on_a_piece_is_whole_on_some_page(demo: str, paper: str) -> None:
    """Notes and fold words are not only printed in halves."""
    printed, whole = set(), set()
    for _, page in sheets_of(demo, paper):
        for words in (w for w in everything_on(page) if hasattr(w, "text")):
            if words.layer:
                printed.add((words.layer, words.text))
                if words.whole:
                    whole.add((words.layer, words.text))
    assert sorted(printed - whole) == []


@each_publication
def test_a_label_lies_inside_its_own_piece(demo: str, paper: str) -> None:
    """Nobody takes the name of one piece for that of its neighbour."""
    plan = plan_of(demo, paper)
    inside = {
        p.piece.name: shapely.union_all(
            [shapely.Polygon(o.path.moved(p.at).flattened(0.05)) for o in p.piece.outlines]
        )
        for p in plan.placements
    }
    anywhere = shapely.union_all(list(inside.values()))
    astray = set()
    for cell, page in sheets_of(demo, paper):
        origin = plan.grid.origin(cell)
        for words in words_on(page):
            if words.layer:
                ink = shapely.affinity.translate(words.ink, origin.x, origin.y)
                # The layer of a style holds the names of its lines on all pieces.
                if not inside.get(words.layer, anywhere).covers(ink):
                    astray.add((words.layer, words.text))
    assert sorted(astray) == []


@pytest.mark.parametrize(
    ("cut", "words"),
    [
        (Cut(1, "main", Lay.FOLD), "cut 1 on the fold · main"),
        (Cut(2, "lining", Lay.PAIR), "cut 2: 1 and 1 mirrored · lining"),
        (Cut(6, "", Lay.PAIR), "cut 6: 3 and 3 mirrored"),
        (Cut(3, "canvas", Lay.COPIES), "cut 3 · canvas"),
        (None, "how many to cut: not stated"),
    ],
)
def test_cutting_instructions_say_how_many_and_how_they_lie(cut: Cut | None, words: str) -> None:
    """A pair is told apart from copies: one half of it is mirrored."""
    assert cut_words(cut) == words


@pytest.mark.parametrize(
    ("role", "allowance", "words"),
    [
        (Role.CUT, 10.0, "10 mm seam allowance is included"),
        (Role.CUT, 12.5, "12.5 mm seam allowance is included"),
        (Role.CUT, None, "seam allowance is included, width not stated"),
        (Role.STITCH, 15.0, "add 15 mm seam allowance when you cut"),
        (Role.STITCH, None, "no seam allowance drawn: add your own"),
    ],
)
def test_the_allowance_is_always_spoken_of(role: Role, allowance: float | None, words: str) -> None:
    """Whether the outline holds it, how wide it is, or that nobody has said."""
    outline = Outline(role, POCKET.outlines[0].edges)
    piece = dataclasses.replace(POCKET, outlines=(outline,), allowance=allowance)
    assert allowance_words(piece) == words


def test_a_label_begins_with_the_name_and_ends_with_the_notes() -> None:
    """Order: name, pattern and version, cutting, allowance, notes."""
    piece = dataclasses.replace(
        POCKET, cuts=(Cut(1, "main", Lay.FOLD),), allowance=12.0, notes=("Hem 30 mm.",)
    )
    pattern = pattern_of(piece, title="Potting apron", version="3")
    name, whose, cut, allowance, note = (line.text for line in label_lines(piece, pattern))
    assert name == "Seed pocket"
    assert whose.startswith("Potting apron")
    assert whose.endswith("3")
    assert cut == "cut 1 on the fold · main"
    assert allowance == "12 mm seam allowance is included"
    assert note == "Hem 30 mm."


@pytest.mark.parametrize("shrink", [1.0, 0.8, 0.65, 0.1])
def test_a_shrunk_label_is_never_set_under_seven_points(shrink: float) -> None:
    """Small pieces get short lines, not letters too small to read."""
    piece = dataclasses.replace(POCKET, notes=("Turn the hem by 10 mm, then by 20 mm. " * 3,))
    lines = label_lines(piece, pattern_of(piece), shrink)
    assert min(line.size_pt for line in lines) >= SMALL
    for line in lines:
        fits = width_of(line.text, line.size_pt, bold=False) <= WIDEST * shrink + 1e-6
        assert fits or " " not in line.text


@pytest.mark.parametrize(
    "name", ["Seed pocket", "Left front neck facing with a very long name " * 2]
)
@pytest.mark.parametrize("shrink", [1.0, 0.65])
def test_no_line_of_a_label_is_wider_than_it_may_be(name: str, shrink: float) -> None:
    """Lines are measured in the weight in which they are set."""
    piece = dataclasses.replace(POCKET, name=name, cuts=(Cut(2, "main", Lay.PAIR),))
    for line in label_lines(piece, pattern_of(piece), shrink):
        assert width_of(line.text, line.size_pt, bold=line.bold) <= WIDEST * shrink + 1e-6


@pytest.mark.parametrize("turn", [0.0, 90.0, 37.0, -61.5])
def test_the_words_stay_in_the_box_that_they_asked_for(turn: float) -> None:
    """At any turn, all ink lies inside the block's own width and height."""
    piece = dataclasses.replace(POCKET, notes=("Jg Äy: turn 10 mm, then 20 mm.",))
    block = fitted(label_lines(piece, pattern_of(piece)))
    box = Bounds(30, 40, 30 + block.width, 40 + block.height)
    items = block.placed(box, turn)
    assert len(items) == len(block.lines)
    assert all(isinstance(item, Words) for item in items)
    frame = shapely.affinity.rotate(shapely.box(*box), turn, origin=(0, 0))
    page = Page("A1", 300, 300, tuple(items))
    assert [w.text for w in words_on(page) if not frame.covers(w.ink)] == []


def texts_of(piece: Piece, pattern: Pattern) -> list[str]:
    return [line.text for line in label_lines(piece, pattern, widest=300)]


def test_a_piece_has_its_number_among_all() -> None:
    """Whoever has cut seven of eight knows that one is missing; the only piece needs none."""
    other = rectangular("Yoke", 100, 100)
    pattern = pattern_of(other, POCKET, title="Potting apron")
    assert "Potting apron · piece 2 of 2" in texts_of(POCKET, pattern)
    assert "Potting apron" in texts_of(POCKET, pattern_of(POCKET, title="Potting apron"))
    assert any("piece 2 of 2" in line.text for line in next(short_label_lines(POCKET, pattern)))


@pytest.mark.parametrize(
    ("name", "words"), [("Waistband", "Seed apron · front"), ("Front yoke", "Seed apron")]
)
def test_front_or_back_is_told_where_the_name_does_not(name: str, words: str) -> None:
    """A piece that is called Front needs no second word for it."""
    piece = dataclasses.replace(rectangular(name, 200, 200), part=Part.FRONT)
    assert words in texts_of(piece, pattern_of(piece))


@pytest.mark.parametrize("side", list(Side))
def test_a_lone_asymmetric_piece_says_which_side_it_is(side: Side) -> None:
    """In the long label and in every short one."""
    piece = dataclasses.replace(POCKET, side=side)
    pattern = pattern_of(piece)
    words = f"{side.value} side, drawn face up"
    assert words in texts_of(piece, pattern)
    for lines in short_label_lines(piece, pattern):
        assert words in " ".join(line.text for line in lines)


def test_an_opened_piece_is_not_to_be_laid_on_a_fold() -> None:
    """Its paper is whole already."""
    piece = dataclasses.replace(POCKET, wishes=Wishes(paper=Paper.WHOLE))
    assert "whole piece: do not lay it on a fold" in texts_of(piece, pattern_of(piece))


def test_joined_halves_name_each_other() -> None:
    """Either label says where the other half is, and what to do with the line between them."""
    front, back = rectangular("Front", 200, 300), rectangular("Back", 200, 300)
    pattern = pattern_of(front, back, joined=(("Front", "Back"),))
    assert "joined to Back: fold the paper between them" in texts_of(front, pattern)
    assert "joined to Front: fold the paper between them" in texts_of(back, pattern)


def joined_halves() -> Pattern:
    halves = []
    for name, tall in (("Front", 300.0), ("Back", 320.0)):
        plain = rectangular(name, 150, tall, cuts=(Cut(1, "main", Lay.FOLD),))
        first, *others = plain.outlines[0].edges
        edges = (dataclasses.replace(first, lies=Lies.FOLD), *others)
        halves.append(dataclasses.replace(plain, outlines=(Outline(Role.CUT, edges),)))
    return for_paper(pattern_of(*halves, joined=(("Front", "Back"),)))


def test_the_fold_of_joined_halves_is_drawn_once_with_its_words_said_once() -> None:
    """320 mm of chain line on the sheet, and one sentence for both halves."""
    pattern = joined_halves()
    plan = laid(pattern, [PageSetup(find_paper("a2"))])
    pages = lay_out(pattern, plan).pages[1:]
    texts = [words.text for page in pages for words in words_on(page) if words.layer]
    told = [text for text in texts if "fold of the cloth" in text or "both halves" in text]
    assert told == ["fold the paper here: each half lies on the fold of the cloth"]
    (page,) = pages
    chains = [line for line in lines_on(page) if line.layer and line.pen == FOLD]
    assert [line.path.length for line in chains] == [pytest.approx(320)]


@each_publication
def test_whichever_style_is_cut_the_label_stays_on_the_piece(demo: str, paper: str) -> None:
    """The name lies within the cut line of each style, the shortest one too."""
    plan, cut_away = plan_of(demo, paper), []
    for cell, page in sheets_of(demo, paper):
        origin = plan.grid.window(cell)
        shift = plan.grid.setup.window
        for placement in plan.placements:
            piece = placement.piece
            told = [w for w in words_on(page) if w.layer == piece.name and w.whole]
            if allowance_words(piece) not in " ".join(words.text for words in told):
                continue  # Only its name: there it may lie on what one style alone has.
            for words in (words for words in told if words.bold):
                ink = shapely.affinity.translate(
                    words.ink, origin.left - shift.left, origin.bottom - shift.bottom
                )
                for outline in piece.outlines:
                    ring = [placement.at(point) for point in outline.path.flattened(0.1)]
                    if not shapely.Polygon(ring).covers(ink):
                        cut_away.append(f"{words.text} on {page.name}, {outline.style}")
    assert cut_away == []
