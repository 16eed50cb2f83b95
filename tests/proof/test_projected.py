"""The proof of a set for a projector finds what is wrong with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import pytest

from tests.demos import pattern_of_demo
from tiler.layout.mats.mat import Mat
from tiler.layout.mats.turning import turned
from tiler.layout.mats.windows import Shown
from tiler.layout.units import units_of
from tiler.output.pdf import pdf_bytes
from tiler.output.projected import Screen, prewarped
from tiler.pattern.affine import STILL, Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import rectangle
from tiler.proof.projected import Outcome, prove_projected
from tiler.sheets.drawing import Fill, Group, Item, Page, Publication
from tiler.sheets.projected import Setting, View, arranged, views
from tiler.sheets.projectedpens import Brush
from tiler.sheets.projectedstart import Promise, draw_start

#: A picture that leans to two sides.
CORNERS = (Point(-40, -30), Point(780, -60), Point(740, 560), Point(-20, 520))
MAT = Mat("table", 1920, 1080, 700, 450, CORNERS)
FRAME = Bounds(0, 0, 700, 450)


@cache
def setting_of(demo: str) -> Setting:
    return Setting(pattern_of_demo(demo), FRAME, Brush(1.5, 1.2), "")


@cache
def views_of(demo: str) -> tuple[View, ...]:
    setting = setting_of(demo)
    units = units_of(setting.pattern)
    laid = [turned(unit, setting.field, margin=1.5) for unit in units]
    start = draw_start(setting, Promise("table", 1, 1.0))
    return (start, *views(arranged(laid, setting), setting))


def pages_of(
    found: Sequence[View], by: Affine = STILL, mat: Mat = MAT, *, dark: bool = True
) -> list[Page]:
    screen = Screen(mat.width_px, mat.height_px, mat.to_pixels(), dark)
    frame = FRAME.grown(1.5)
    return [prewarped(v.name, (Group(v.items, at=by),), frame, screen) for v in found]


def proven(pages: Sequence[Page], demo: str = "hat", mat: Mat = MAT) -> Outcome:
    windows = [(view.name, view.shown) for view in views_of(demo)[1:]]
    content = pdf_bytes(Publication("", "", "", tuple(pages)))
    return prove_projected(content, mat, setting_of(demo).field, windows, 1.5)


def codes(outcome: Outcome) -> set[str]:
    return {fault.code for fault in outcome.faults}


@pytest.mark.parametrize(("demo", "dark"), [("hat", True), ("hat", False), ("apron", True)])
def test_a_set_proves_on_dark_and_on_light_ground(demo: str, dark: bool) -> None:
    outcome = proven(pages_of(views_of(demo), dark=dark), demo)
    assert not outcome.faults
    assert outcome.windows == len(views_of(demo)) - 1
    assert outcome.places > 1000
    assert outcome.worst <= 0.05


@pytest.mark.parametrize("by", [Affine.move(0.12, 0), Affine.scale(1.0006, 1.0006)])
def test_lines_that_are_off_are_found(by: Affine) -> None:
    """A tenth of a millimetre is enough, and so is a scale that makes it at the far end."""
    outcome = proven(pages_of(views_of("hat"), by))
    assert "off" in codes(outcome)
    assert outcome.worst > 0.1


def test_a_set_for_another_mat_is_found() -> None:
    moved = replace(MAT, corners=(Point(-40.5, -30), *CORNERS[1:]))
    assert "off" in codes(proven(pages_of(views_of("hat"), mat=moved)))


def test_a_line_that_is_left_out_is_found() -> None:
    def without_first(view: View) -> View:
        lines, *others = view.items
        assert isinstance(lines, Group)
        return replace(view, items=(replace(lines, items=lines.items[1:]), *others))

    start, *windows = views_of("hat")
    assert "missing" in codes(proven(pages_of([start, *map(without_first, windows)])))


def test_a_window_that_is_left_out_is_found() -> None:
    assert "windows" in codes(proven(pages_of(views_of("hat")[:-1])))


def test_a_line_of_no_piece_is_found() -> None:
    start, first, *others = views_of("hat")
    speck = Fill((rectangle(Bounds(5, 5, 9, 9)),), 0.0)
    spoilt = replace(first, items=(*first.items, speck))
    assert "stranger" in codes(proven(pages_of([start, spoilt, *others])))


def test_what_is_painted_over_is_found() -> None:
    start, first, *others = views_of("hat")
    lid: Item = Group((Fill((rectangle(Bounds(200, 100, 500, 300)),), 1.0),), furniture=True)
    spoilt = replace(first, items=(*first.items, lid))
    assert "covered" in codes(proven(pages_of([start, spoilt, *others])))


def test_a_piece_that_is_stretched_is_found_though_its_lines_agree() -> None:
    """The plan itself is not believed: true size is asked of it too."""
    name, shown = views_of("hat")[1].name, views_of("hat")[1].shown
    wide = tuple(Shown(s.piece, s.at.then(Affine.scale(1.01, 1.01))) for s in shown)
    windows = [(name, wide), *((v.name, v.shown) for v in views_of("hat")[2:])]
    content = pdf_bytes(Publication("", "", "", tuple(pages_of(views_of("hat")))))
    outcome = prove_projected(content, MAT, setting_of("hat").field, windows, 1.5)
    assert "size" in codes(outcome)
