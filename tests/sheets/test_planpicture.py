"""The plan on the screen: every page and every piece can be told apart, and lies where it is."""

from __future__ import annotations

import re
from functools import cache
from xml.etree import ElementTree

import pytest
import shapely

from tests.demos import pattern_of_demo, plan_of
from tests.layout.byhand import body_of
from tiler.layout.byhand import move_by_hand
from tiler.layout.plan import Plan
from tiler.output.svg import svg_bytes
from tiler.sheets.planpicture import EDGE, SCALE, draw_plan_picture

_SVG = "{http://www.w3.org/2000/svg}"


@cache
def plan() -> Plan:
    """A smock with one pocket taken aside and turned."""
    return move_by_hand(
        plan_of("smock", "a4"), pattern_of_demo("smock"), "Patch pocket", 3000, 0, 20
    )


@cache
def picture(over: tuple[str, ...] = ()) -> ElementTree.Element:
    """Its picture, read by a parser of XML."""
    page = draw_plan_picture(plan(), pattern_of_demo("smock"), over)
    return ElementTree.fromstring(svg_bytes(page, "Plan"))


def layers(root: ElementTree.Element, kind: str) -> dict[str, ElementTree.Element]:
    """Name -> the group of each layer of a kind."""
    found = {}
    for group in root.iter(f"{_SVG}g"):
        name = group.get("data-layer", "")
        if name.startswith(kind):
            assert name not in found
            found[name.removeprefix(kind)] = group
    return found


def box_of(group: ElementTree.Element) -> tuple[float, float, float, float]:
    """The box round a group's paths, millimetres of the picture, y down."""
    numbers = [
        tuple(map(float, pair))
        for path in group.iter(f"{_SVG}path")
        for pair in re.findall(r"(-?[\d.]+) (-?[\d.]+)", path.get("d", ""))
    ]
    return shapely.MultiPoint(numbers).bounds


def test_every_page_and_every_piece_is_a_layer() -> None:
    assert list(layers(picture(), "page:")) == [cell.name for cell in plan().cells]
    names = {piece.name for piece in pattern_of_demo("smock").pieces}
    assert set(layers(picture(), "piece:")) == names


def test_joined_pieces_are_one_unit() -> None:
    units = layers(picture(), "unit:")
    assert set(layers(units["Front neck facing"], "piece:")) == {
        "Front neck facing",
        "Back neck facing",
    }
    assert len(units) == len(pattern_of_demo("smock").pieces) - 1


def test_pieces_lie_where_the_plan_says() -> None:
    """Within 0.15 mm of the picture, which is what outlines on maps are thinned by."""
    bottom = float(picture().get("viewBox", "").split()[3])
    sheet = plan().grid.bounds
    for piece in pattern_of_demo("smock").pieces:
        body = body_of(plan(), piece)
        left, low, right, high = body.bounds
        expected = (
            EDGE + (left - sheet.left) / SCALE,
            bottom - EDGE - (high - sheet.bottom) / SCALE,
            EDGE + (right - sheet.left) / SCALE,
            bottom - EDGE - (low - sheet.bottom) / SCALE,
        )
        group = layers(picture(), "piece:")[piece.name]
        assert box_of(layers(group, "cut")[""]) == pytest.approx(expected, abs=0.15)


def test_every_page_has_its_name_once() -> None:
    (names,) = layers(picture(), "names").values()
    said = [text.text for text in names.iter(f"{_SVG}text")]
    assert said == [cell.name for cell in plan().cells]


def test_pieces_that_lie_over_others_are_marked() -> None:
    assert layers(picture(), "over") == {}
    (group,) = layers(picture(("Sleeve",)), "over").values()
    assert group in list(layers(picture(("Sleeve",)), "piece:")["Sleeve"])
