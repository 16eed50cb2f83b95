"""A publication as a whole: which pages, in which order, and what each of them says."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Iterator
from itertools import pairwise, permutations

import pytest
import shapely
from hypothesis import given

from tests.demos import (
    each_publication,
    front_of,
    pattern_of_demo,
    pdf_of,
    plan_of,
    publication_of,
    sheets_of,
)
from tests.drawing import draws
from tests.laying import laid
from tests.printed import PrintedLine, PrintedWords, lines_on, words_on
from tests.strategies import pattern_of, patterns, rectangular
from tiler.layout.papers import find_paper
from tiler.layout.tiles import PageSetup
from tiler.pattern.model import Pattern, styles_in
from tiler.sheets.bars import bar_lengths
from tiler.sheets.drawing import Drawing, Group, Page, Use
from tiler.sheets.layers import drawn_keys
from tiler.sheets.publication import lay_out, texts_of


def texts_by_poppler(pdf: bytes) -> list[str]:
    """The words of each page as pdftotext finds them, turned ones too."""
    told = subprocess.run(
        ["pdftotext", "-enc", "UTF-8", "-raw", "-", "-"], input=pdf, capture_output=True, check=True
    )
    return told.stdout.decode().split("\f")[:-1]


@each_publication
def test_the_start_page_comes_first_then_the_pages_in_reading_order(demo: str, paper: str) -> None:
    """Every printed cell has its page, row by row, under its own name."""
    names = [page.name for page in publication_of(demo, paper).pages]
    assert names[0] == "start"
    cells = [cell.name for cell in plan_of(demo, paper).cells]
    assert names[-len(cells) :] == cells
    assert len(set(names)) == len(names)
    assert len(names) - len(cells) in (1, 2)


@each_publication
def test_every_page_of_the_file_says_what_it_is(demo: str, paper: str) -> None:
    """Read by pdftotext: title, page name, page number, digest, and both check bars."""
    pattern, publication = pattern_of_demo(demo), publication_of(demo, paper)
    texts = texts_by_poppler(pdf_of(demo, paper))
    assert len(texts) == len(publication.pages)
    across, up = bar_lengths(plan_of(demo, paper).grid.setup)
    front = front_of(demo, paper)
    for number, (page, text) in enumerate(zip(publication.pages, texts, strict=True), start=1):
        words = " ".join(text.split())
        assert pattern.title in words
        assert (f"{page.name} page" if page in front else f"page {page.name} ") in words
        assert f"{number} of {len(texts)}" in words
        assert pattern.digest in words
        for length in (across, up):
            assert f"{length:.0f} mm = {length / 25.4:.3f} in" in words


@each_publication
def test_joints_are_named_on_both_pages_of_the_file(demo: str, paper: str) -> None:
    """Read by pdftotext: a joint's number stands with the neighbour's name on each side."""
    publication = publication_of(demo, paper)
    texts = {
        page.name: text.split()
        for page, text in zip(publication.pages, texts_by_poppler(pdf_of(demo, paper)), strict=True)
    }
    for number, pair in enumerate(plan_of(demo, paper).joints, start=1):
        for here, neighbour in permutations(cell.name for cell in pair):
            words = texts[here]
            starts = [i for i, word in enumerate(words) if word == str(number)]
            told = [words[i : i + 8] for i in starts]
            assert any(neighbour in line for line in told), (here, number, neighbour)


@each_publication
def test_the_label_of_each_piece_can_be_read_from_the_file(demo: str, paper: str) -> None:
    """Read by pdftotext, which also finds what is clipped away: nothing of it is misspelt."""
    words = " ".join(" ".join(texts_by_poppler(pdf_of(demo, paper))).split())
    for piece in pattern_of_demo(demo).pieces:
        assert piece.name in words


@each_publication
def test_pages_are_as_large_as_the_paper(demo: str, paper: str) -> None:
    """All pages have the size of the paper as it is printed."""
    setup = plan_of(demo, paper).grid.setup
    for page in publication_of(demo, paper).pages:
        assert (page.width, page.height) == (setup.width, setup.height)


@each_publication
def test_pattern_lines_are_seen_through_the_window_only(demo: str, paper: str) -> None:
    """On every page the pattern is clipped to the pattern window, and the front pages have none."""
    window = plan_of(demo, paper).grid.setup.window
    for _, page in sheets_of(demo, paper):
        pattern_lines = [line for line in lines_on(page) if line.layer]
        assert pattern_lines
        assert {line.window for line in pattern_lines} == {window}
    for page in front_of(demo, paper):
        assert [line for line in lines_on(page) if line.layer] == []


@each_publication
def test_everything_but_pattern_lines_is_marked_as_furniture(demo: str, paper: str) -> None:
    """A reader of the file can tell the page's own marks from the garment's lines."""
    for page in publication_of(demo, paper).pages:
        for line in lines_on(page):
            assert line.furniture or line.layer


@each_publication
def test_each_part_of_a_piece_is_one_drawing_on_the_pages_that_show_it(
    demo: str, paper: str
) -> None:
    """One drawing for a piece and one for each of its styles, on each page where ink is seen."""
    parts: dict[str, Drawing] = {}
    for _, page in sheets_of(demo, paper):
        [body] = [item for item in page.items if isinstance(item, Group) and item.window]
        used = list(parts_in(body))
        assert len({layer for layer, _ in used}) == len(used)
        for layer, part in used:
            assert parts.setdefault(layer, part) is part
        # Nothing is carried of which nothing shows, and nothing that shows is left out.
        seen = {line.layer for line in lines_on(page) if line.layer and not line.ink.is_empty}
        near = {line.layer for line in lines_on(page) if line.pattern and nearly(line)}
        carried = {line.layer for line in lines_on(page) if line.pattern}
        assert carried <= near
        assert {layer for layer in seen if layer in layers_of(pattern_of_demo(demo))} <= carried
    assert set(parts) == layers_of(pattern_of_demo(demo))


def parts_in(body: Group) -> Iterator[tuple[str, Drawing]]:
    """The drawings of pattern lines on a page, with their layers as `PrintedLine` has them."""
    for item in body.items:
        if isinstance(item, Group) and not item.furniture:
            (piece,) = item.layers
            for use in item.items:
                assert isinstance(use, Use)
                key = use.drawing.layer or " + ".join(use.drawing.any_of)
                yield f"{piece} · {key}" if key else piece, use.drawing
        elif isinstance(item, Use):
            assert item.drawing.layer
            yield item.drawing.layer, item.drawing


def nearly(line: PrintedLine) -> bool:
    """Whether the ink of a line comes to its window, as nearly as curves are flattened."""
    assert line.window is not None
    path = shapely.LineString(line.path.flattened(0.02))
    return bool(path.distance(shapely.box(*line.window)) <= line.pen.width / 2 + 0.1)


def layers_of(pattern: Pattern) -> set[str]:
    return {
        f"{piece.name} · {key}" if key else piece.name
        for piece in pattern.pieces
        for key in ("", *drawn_keys(piece))
    }


def piece_in(thing: PrintedLine | PrintedWords) -> str:
    """The piece whose layer something is printed in."""
    return thing.layer.split(" · ")[0]


@each_publication
def test_styles_are_listed_before_pieces(demo: str, paper: str) -> None:
    """Styles are what people switch; a heading tells the two lists apart."""
    pattern, publication = pattern_of_demo(demo), publication_of(demo, paper)
    styles = {s for p in pattern.pieces for key in drawn_keys(p) for s in styles_in(key)}
    ordered = [style for style, _ in pattern.styles if style in styles]
    pieces = [piece.name for piece in pattern.pieces]
    assert publication.layers == (*ordered, *pieces, "Page marks", "Words")
    listed = [name for _, names in publication.headings for name in names]
    assert listed == list(publication.layers)
    assert all(names for _, names in publication.headings)


@each_publication
def test_the_record_tells_where_everything_lies(demo: str, paper: str) -> None:
    """The attached record agrees with the layout in every number."""
    pattern, plan = pattern_of_demo(demo), plan_of(demo, paper)
    (attached,) = (
        a for a in publication_of(demo, paper).attachments if a.name == "blocksheet.json"
    )
    record = json.loads(attached.content)
    setup = plan.grid.setup
    assert record["title"] == pattern.title
    assert record["digest"] == pattern.digest
    assert record["page"] == [setup.width, setup.height]
    assert record["window"] == list(setup.window)
    assert record["pitch"] == list(setup.pitch)
    assert [page["name"] for page in record["pages"]] == [cell.name for cell in plan.cells]
    for page, cell in zip(record["pages"], plan.cells, strict=True):
        assert page["origin"] == list(plan.grid.origin(cell))
        assert (page["row"], page["column"]) == (cell.row, cell.column)
    assert [(p["piece"], tuple(p["matrix"])) for p in record["placements"]] == [
        (p.piece.name, tuple(p.at)) for p in plan.placements
    ]
    assert record["styles"] == []
    assert (record["format"], record["joint"], record["pieces"]) == (3, "overlap", [])
    uses = {layer["use"]: layer["layer"] for layer in record["layers"] if "use" in layer}
    assert uses == {"marks": "Page marks", "words": "Words"}
    switched = {layer["layer"]: layer.get("piece", "") for layer in record["layers"]}
    assert tuple(switched) == publication_of(demo, paper).layers
    assert {piece for piece in switched.values() if piece} == {p.name for p in pattern.pieces}


@each_publication
def test_the_pattern_travels_with_its_print(demo: str, paper: str) -> None:
    """Every source file is attached, byte for byte, besides the record."""
    pattern = pattern_of_demo(demo)
    attached = {a.name: a for a in publication_of(demo, paper).attachments}
    assert attached.pop("blocksheet.json").relation == "Data"
    assert {name: a.content for name, a in attached.items()} == {
        source.name: source.content for source in pattern.sources
    }
    assert {a.relation for a in attached.values()} == {"Source"}


@pytest.mark.parametrize("paper", ["a5", "a4"])
def test_a_title_that_is_too_long_is_shortened_in_the_strip(paper: str) -> None:
    """The strip never runs out of the page, and still tells page and digest."""
    title = "Gardener’s smock with seed pockets, " * 12
    pattern = pattern_of(rectangular("Front", 100, 120), title=title.strip())
    setup = PageSetup(find_paper(paper))
    publication = lay_out(pattern, laid(pattern, [setup]))
    frame = shapely.box(*setup.printable).buffer(0.1)
    for page in publication.pages:
        said = strip_on(page, setup)
        text = "".join(words.text for words in said)
        assert "print at 100 %" in text
        assert page.name in text
        assert "…" in text
        assert pattern.digest in text
        assert all(frame.covers(words.ink) for words in said)
        for before, after in pairwise(said):
            # No letter stands on another, and none is farther off than a space is wide.
            gap = after.ink.bounds[0] - before.ink.bounds[2]
            assert 0 < gap < 1.5


def strip_on(page: Page, setup: PageSetup) -> list[PrintedWords]:
    """What stands over the pattern window, from the left."""
    above = [words for words in words_on(page) if words.ink.bounds[1] >= setup.window.top]
    return sorted(above, key=lambda words: words.ink.bounds[0])


@draws(6)
@given(patterns(most=3))
def test_the_words_of_any_pattern_stay_on_the_paper(pattern: Pattern) -> None:
    """Random pieces: no word leaves the printable area, none is under seven points."""
    setup = PageSetup(find_paper("a4"))
    publication = lay_out(pattern, laid(pattern, [setup]))
    frame = shapely.box(*setup.printable).buffer(0.1, join_style="mitre")
    for page in publication.pages:
        for words in words_on(page):
            assert frame.covers(words.seen), words.text
            assert words.size_pt >= 7 - 1e-6
    assert pattern.pieces[0].name in texts_of(publication)


def test_progress_counts_the_pages() -> None:
    """Whoever waits sees each page once."""
    seen: list[tuple[int, int]] = []
    publication = lay_out(
        pattern_of_demo("hat"), plan_of("hat", "a4"), lambda done, total: seen.append((done, total))
    )
    assert [done for done, _ in seen] == sorted({done for done, _ in seen})
    assert {total for _, total in seen} == {len(publication.pages)}
    assert len(seen) == len(plan_of("hat", "a4").cells)
