"""What is wrong with a calibration page is found on the written page, before it is relied on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from tiler.layout.papers import PAPERS, find_paper
from tiler.layout.scale import Printer
from tiler.output.pdf import pdf_bytes
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import rectangle
from tiler.proof.scalesheet import Expected, scale_sheet_faults
from tiler.sheets.drawing import Fill, Group, Item, Publication, Stroke
from tiler.sheets.scalesheet import draw_scale_sheet

A4 = Expected(210, 297)
SHED = Printer("Potting shed", 1.004, 0.997, 0.001, 0.001, "a4")
Change = Callable[[Group], Group | None]


def faults(publication: Publication, folder: Path, expected: Expected = A4) -> list[str]:
    file = folder / "sheet.pdf"
    file.write_bytes(pdf_bytes(publication))
    return [str(fault) for fault in scale_sheet_faults(file, expected)]


def changed(size: tuple[float, float], change: Change, *, which: int = 0) -> Publication:
    """The A4 page with one of its measures spoilt."""
    publication = draw_scale_sheet(find_paper("a4"))
    (page,) = publication.pages
    (whole,) = page.items
    assert isinstance(whole, Group)
    items: list[Item] = []
    seen = 0
    for item in whole.items:
        if isinstance(item, Group) and dict(item.facts).get("Measure") == size:
            seen += 1
            spoilt = change(item) if seen == which + 1 else item
            items += [spoilt] if spoilt else []
        else:
            items.append(item)
    assert seen > which
    return replace(publication, pages=(replace(page, items=(replace(whole, items=tuple(items)),)),))


def moved(by: Affine, path: int | None = None) -> Change:
    """All strokes of a measure moved, or one of them."""

    def change(group: Group) -> Group:
        (stroke,) = group.items
        assert isinstance(stroke, Stroke)
        paths = tuple(
            p.moved(by) if path in (None, number) else p for number, p in enumerate(stroke.paths)
        )
        return replace(group, items=(replace(stroke, paths=paths),))

    return change


@pytest.mark.parametrize(
    "paper", [name for name, p in PAPERS.items() if p.width >= 148 and p.height >= 210]
)
def test_a_sound_page_has_no_faults(paper: str, tmp_path: Path) -> None:
    """On every paper, as it is and made up for a printer."""
    sheet = find_paper(paper)
    plain = Expected(sheet.width, sheet.height)
    assert faults(draw_scale_sheet(sheet), tmp_path, plain) == []
    erring = replace(plain, across=SHED.across, up=SHED.up)
    assert faults(draw_scale_sheet(sheet, SHED), tmp_path, erring) == []


def test_a_page_that_is_made_up_is_not_true_elsewhere(tmp_path: Path) -> None:
    """0.4 % on 190 mm is 0.76 mm."""
    told = faults(draw_scale_sheet(find_paper("a4"), SHED), tmp_path)
    assert any("bar of 190 mm across is off by 0.76 mm" in text for text in told)


@pytest.mark.parametrize("size", [(190.0, 0.0), (0.0, 270.0)])
@pytest.mark.parametrize("part", [0, 1])
def test_a_bar_that_is_too_long_is_found(
    size: tuple[float, float], part: int, tmp_path: Path
) -> None:
    """Its line by 0.02 mm, or one of its end marks; the other end stays."""
    longer = Affine.scale(1 + 0.02 / 190, 1) if size[0] else Affine.scale(1, 1 + 0.02 / 270)
    about = Affine.move(-10, -13.5).then(longer).then(Affine.move(10, 13.5))
    told = faults(changed(size, moved(about), which=part), tmp_path)
    assert f"bar of {max(size):g} mm" in told[0]
    assert "is off by 0.02 mm" in told[0]


@pytest.mark.parametrize("end", [0, 1])
@pytest.mark.parametrize("by", [Affine.move(0.05, 0), Affine.move(0, 0.05)])
def test_an_end_mark_out_of_place_is_found(end: int, by: Affine, tmp_path: Path) -> None:
    """Along the bar or across it."""
    told = faults(changed((190.0, 0.0), moved(by, end), which=1), tmp_path)
    assert any("bar of 190 mm across is off by 0.05 mm" in text for text in told)


@pytest.mark.parametrize("arm", range(4))
@pytest.mark.parametrize("which", [0, 1])
def test_a_cross_out_of_place_is_found(arm: int, which: int, tmp_path: Path) -> None:
    """One arm is enough."""
    told = faults(
        changed((180.0, 240.0), moved(Affine.move(0.05, 0.05), arm), which=which), tmp_path
    )
    assert told


def test_diagonals_of_two_rectangles_are_found(tmp_path: Path) -> None:
    """Both of the right length, but one of them shifted."""
    told = faults(changed((180.0, 240.0), moved(Affine.move(0.3, 0))), tmp_path)
    assert told == ["the diagonals are not those of one rectangle"]


@pytest.mark.parametrize("size", [(100.0, 100.0), (101.6, 101.6)])
def test_a_square_of_the_wrong_size_is_found(size: tuple[float, float], tmp_path: Path) -> None:
    """0.1 % too large."""
    told = faults(changed(size, moved(Affine.scale(1.001, 1.001))), tmp_path)
    assert any(f"square of {size[0]:g} mm is off by 0.10 mm" in text for text in told)


@pytest.mark.parametrize(
    "size", [(190.0, 0.0), (0.0, 270.0), (100.0, 100.0), (101.6, 101.6), (180.0, 240.0)]
)
def test_what_is_left_out_is_missed(size: tuple[float, float], tmp_path: Path) -> None:
    """Each bar, square and diagonal has to be there."""
    assert faults(changed(size, lambda _: None), tmp_path)


def test_what_does_not_show_is_found(tmp_path: Path) -> None:
    """A bar in white, and one under a white area."""

    def white(group: Group) -> Group:
        (stroke,) = group.items
        assert isinstance(stroke, Stroke)
        return replace(group, items=(replace(stroke, pen=replace(stroke.pen, grey=1.0)),))

    assert any("does not show" in text for text in faults(changed((190.0, 0.0), white), tmp_path))
    publication = draw_scale_sheet(find_paper("a4"))
    (page,) = publication.pages
    patch = Group((Fill((rectangle(Bounds(90, 20, 110, 23)),), 1.0),), furniture=True)
    over = replace(publication, pages=(replace(page, items=(*page.items, patch)),))
    assert any("bar of 190 mm across does not show" in text for text in faults(over, tmp_path))


def test_the_wrong_paper_is_found(tmp_path: Path) -> None:
    """A page of Letter for A4 paper."""
    told = faults(draw_scale_sheet(find_paper("letter")), tmp_path)
    assert "the page is 215.90 x 279.40 mm, which is not the paper's size" in told


def test_a_second_page_is_found(tmp_path: Path) -> None:
    """It is one page, so that nobody measures another one."""
    publication = draw_scale_sheet(find_paper("a4"))
    twice = replace(publication, pages=publication.pages * 2)
    assert faults(twice, tmp_path) == ["it has 2 pages and should have one"]
