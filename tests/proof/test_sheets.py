"""Several sheets in one file: what is taped to what is told by crosses, and nothing else is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path as File

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from publication_builder import APART, HEIGHT, PITCH, WIDTH, WINDOW, Draft, recorded, two_sheets

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.proof import Verdict, prove
from tiler.proof.neighbours import find_neighbours
from tiler.proof.record import PageEntry, Record


@pytest.fixture
def sheets() -> Draft:
    return two_sheets()


def verdict_of(paper: Draft, folder: File) -> Verdict:
    return prove(paper.write(folder), paper.pattern)


def told(paper: Draft, folder: File) -> list[str]:
    return [f"{fault.code} {fault}" for fault in verdict_of(paper, folder).faults]


def share(paper: Draft, key: tuple[int, int], sheet: tuple[float, float], *names: str) -> None:
    """Let pages print a cross at a place on the sheet."""
    for name in names:
        x, y = paper.pages[name].origin
        paper.pages[name].crosses[key] = (sheet[0] - x, sheet[1] - y)


def test_two_sheets_are_proven_without_crosses_between_them(sheets: Draft, tmp_path: File) -> None:
    verdict = verdict_of(sheets, tmp_path)
    assert verdict.faults == ()
    assert verdict.proven
    assert (verdict.pages, verdict.pieces, verdict.lines) == (5, 2, 15)


@pytest.mark.parametrize("far", [0.02, 0.3])
def test_a_shifted_page_of_either_sheet_is_measured(
    sheets: Draft, tmp_path: File, far: float
) -> None:
    for name in ("B2", "C1"):
        sheets.pages[name].before = f"1 0 0 1 {far * 72 / 25.4:.6f} 0 cm"
        verdict = verdict_of(sheets, tmp_path)
        assert verdict.worst == pytest.approx(far, abs=0.001)
        assert verdict.proven == (far <= 0.05)
        sheets.pages[name].before = ""


def test_a_page_moved_to_another_sheet_lacks_its_crosses(sheets: Draft, tmp_path: File) -> None:
    """Its origin one pitch below B1 makes it a page of the first sheet."""
    sheets.pages["C1"].origin = (-10.0, -10.0 + APART)
    sheets.placements["Pocket"] = sheets.placements["Pocket"].then(Affine.move(0, APART))
    assert told(recorded(sheets), tmp_path) == [
        "joint B1 and C1: they lie side by side and share no cross; two are needed"
    ]
    # With crosses it is one, and nothing is wrong.
    lower = 5 + PITCH[1] + APART
    for point, x in enumerate((20.0, 100.0), start=1):
        share(sheets, (5, point), (x, lower), "B1", "C1")
    assert told(sheets, tmp_path) == []


def test_crosses_between_pages_of_two_sheets(sheets: Draft, tmp_path: File) -> None:
    share(sheets, (5, 1), (20.0, 165.0), "B1")
    share(sheets, (5, 1), (20.0, 130.0), "C1")
    assert told(sheets, tmp_path) == [
        "cross B1 and C1: they share the cross of joint 5, point 1, and do not lie side by side"
    ]


def test_crosses_between_pages_that_meet_at_a_corner(sheets: Draft, tmp_path: File) -> None:
    for point, x in enumerate((124.0, 126.0), start=1):
        share(sheets, (5, point), (x, 289.0), "A1", "B2")
    assert [text[:19] for text in told(sheets, tmp_path)] == ["cross A1 and B2: th"] * 2


def test_a_cross_on_one_page_only(sheets: Draft, tmp_path: File) -> None:
    sheets.pages["C1"].crosses[9, 1] = (60.0, 20.0)
    assert told(sheets, tmp_path) == ["cross C1: the cross of joint 9, point 1 is on no other page"]


def test_sheets_that_lie_over_each_other(sheets: Draft, tmp_path: File) -> None:
    sheets.pages["C1"].origin = (-10.0, 11.0)
    sheets.placements["Pocket"] = sheets.placements["Pocket"].then(Affine.move(0, 21))
    assert told(recorded(sheets), tmp_path) == [
        f"overlap {names}: their windows lie over each other, and they are no neighbours"
        for names in ("B1 and C1", "B2 and C1")
    ]


def test_two_pages_in_one_place(sheets: Draft, tmp_path: File) -> None:
    sheets.pages["C1"].origin = sheets.pages["B2"].origin
    assert any(text.startswith("overlap B2 and C1: ") for text in told(recorded(sheets), tmp_path))


def test_crosses_taken_out_between_two_pages(sheets: Draft, tmp_path: File) -> None:
    """The way round by the other pages still holds the sheet together."""
    for name in ("A1", "B1"):
        del sheets.pages[name].crosses[3, 1], sheets.pages[name].crosses[3, 2]
    assert told(sheets, tmp_path) == [
        "joint A1 and B1: they lie side by side and share no cross; two are needed"
    ]


def test_a_sheet_that_falls_in_two(sheets: Draft, tmp_path: File) -> None:
    for joint, names in ((3, ("A1", "B1")), (4, ("A2", "B2"))):
        for name in names:
            # One cross of each joint is left: not enough to tie pages.
            del sheets.pages[name].crosses[joint, 2]
    texts = told(sheets, tmp_path)
    assert [text.split(":")[0] for text in texts] == [
        "joint A1 and B1",
        "joint A2 and B2",
        "apart Bib",
    ]
    assert texts[-1] == (
        "apart Bib: its lines lie on pages that no crosses tie together (A1, B1), so that nothing "
        "tells where these belong"
    )


def test_a_piece_over_two_sheets(sheets: Draft, tmp_path: File) -> None:
    """The bib's lower pages moved up until the windows overlap by a millimetre more."""
    for name in ("B1", "B2"):
        x, y = sheets.pages[name].origin
        sheets.pages[name].origin = (x, y + 1.0)
        sheets.pages[name].crosses = {
            key: at for key, at in sheets.pages[name].crosses.items() if key[0] == 2
        }
    for name in ("A1", "A2"):
        sheets.pages[name].crosses = {
            key: at for key, at in sheets.pages[name].crosses.items() if key[0] == 1
        }
    texts = told(recorded(sheets), tmp_path)
    assert [text.split(":")[0] for text in texts] == [
        "overlap A1 and B1",
        "overlap A2 and B1",
        "apart Bib",
    ]


def test_crosses_that_let_the_pages_turn(sheets: Draft, tmp_path: File) -> None:
    for name in ("A1", "A2"):
        x, y = sheets.pages[name].crosses[1, 1]
        sheets.pages[name].crosses[1, 2] = (x + 2, y + 6)
    assert told(sheets, tmp_path) == [
        "joint A1 and A2: the crosses that they share are less than 10 mm apart"
    ]


def test_neighbours_whose_names_say_otherwise(sheets: Draft, tmp_path: File) -> None:
    first, second = sheets.record["pages"][2:4]
    first["column"], second["column"] = second["column"], first["column"]
    assert told(sheets, tmp_path) == [
        f"joint {names}: they lie side by side, but not by their rows and columns"
        for names in ("A1 and B1", "A2 and B2", "B1 and B2")
    ]


def test_pieces_kept_together_lie_on_one_sheet(sheets: Draft, tmp_path: File) -> None:
    assert verdict_of(sheets, tmp_path).proven
    sheets.pattern = replace(sheets.pattern, together=(("Bib", "Pocket"),))
    verdict = verdict_of(sheets, tmp_path)
    assert verdict.proven  # every line is where it belongs
    assert [str(finding) for finding in verdict.findings] == [
        "Bib and Pocket: They are to lie on one sheet, and lie on several (A1, C1)."
    ]
    # Whoever prints some of the pieces has not asked for the pages between them.
    sheets.record["pieces"] = ["Bib", "Pocket"]
    assert [finding.code for finding in verdict_of(sheets, tmp_path).findings] == ["some-pieces"]


def test_joined_pieces_lie_on_one_sheet_by_one_motion(sheets: Draft, tmp_path: File) -> None:
    sheets.pattern = replace(sheets.pattern, joined=(("Pocket", "Bib"),))
    texts = told(sheets, tmp_path)
    assert texts[0] == (
        "placement Pocket and Bib: they are joined at their folds, and are not laid down together"
    )
    assert [text.split(":")[0] for text in texts[1:]] == ["apart Bib and Pocket"]


# Which pages are neighbours, against shapely's rectangles.


@st.composite
def records(draw: st.DrawFn) -> Record:
    """Up to three sheets of up to 3 x 3 pages, some pages left out, sheets anywhere."""
    pages = []
    top = 0
    for _ in range(draw(st.integers(1, 3))):
        rows, columns = draw(st.integers(1, 3)), draw(st.integers(1, 3))
        x, y = (draw(st.integers(-3200, 3200)) / 8 for _ in range(2))
        for row in range(rows):
            for column in range(columns):
                if draw(st.integers(0, 4)) or not pages:
                    origin = Point(x + column * PITCH[0], y - row * PITCH[1])
                    pages.append(PageEntry(f"p{len(pages)}", top + row, column, origin))
        top += rows
    window, pitch = Bounds(*WINDOW), Point(*PITCH)
    return Record("", WIDTH, HEIGHT, window, pitch, top, 3, tuple(pages), (), ())


def boxes(record: Record) -> Iterator[shapely.Polygon]:
    for page in record.pages:
        yield shapely.box(*record.window.moved(Affine.move(*page.origin)))


@settings(max_examples=200, deadline=None)
@given(records())
def test_neighbours_share_a_strip_and_others_nothing(record: Record) -> None:
    found, faults = find_neighbours(record)
    windows = list(boxes(record))
    pairs, over = set(), set()
    for one, here in enumerate(windows):
        for other, there in enumerate(windows[one + 1 :], start=one + 1):
            shared = here.intersection(there)
            if shared.area == 0:
                continue
            left, bottom, right, top = shared.bounds
            size = (round(right - left, 6), round(top - bottom, 6))
            # Windows of 124 x 134 mm, 120 and 130 mm apart: a strip, or the corner of four pages.
            if size in ((4, 134), (124, 4)):
                pairs.add((one, other))
            elif size != (4, 4):
                over.add(record.pages[one].name)
    assert set(found.pairs) == pairs
    assert {fault.where.split(" and ")[0] for fault in faults if fault.code == "overlap"} == over
