"""The demo patterns' seams fit one another as their notes say.

Outside values: demo_pieces/README.md, where the lengths of the drafts are stated: pairs agree
within 0.01 on the stitch line, the sleeve head is 15 longer than the armhole (8 behind, 7 in
front), the notches of the armhole are 85 from the underarm, and lines across seams add up to 180
degrees within 0.1.
"""

from dataclasses import replace

import pytest

from tests.demos import DEMOS, drafted_demo, drafted_piece, traced_demo
from tiler.drafting.checks import check
from tiler.drafting.walking.measured import SeamWalk, walk_seam
from tiler.drafting.walking.run_on import RunOn, run_on
from tiler.drafting.walking.seams import seam_styles
from tiler.pattern.model import Seam
from tiler.pattern.path import Path

#: Seams whose sides are meant to differ, or only agree by what was rounded in pattern.toml.
EASED = {"sleeve head": 15.0}
#: The back's side dart is said in whole tenths of millimetres and degrees.
ROUNDED = {"side seam": 0.01, "waist": 0.02, "placket underlap": 0.01}

SEAMS = [(demo, seam.name) for demo in DEMOS for seam in traced_demo(demo).seams]


def seam(demo: str, name: str) -> Seam:
    return next(seam for seam in drafted_demo(demo).seams if seam.name == name)


def walks(demo: str, name: str) -> list[SeamWalk]:
    pattern, found = drafted_demo(demo), seam(demo, name)
    return [walk_seam(pattern, found, style) for style in seam_styles(pattern, found)]


def edge(demo: str, name: str, word: str, style: str = "") -> Path:
    """An edge of a stitch line by the maker's word for it."""
    rings = drafted_piece(demo, name).stitch
    ring = next((ring for ring in rings if ring.style == style), rings[0])
    return next(edge.path for edge in ring.edges if edge.name == word)


@pytest.mark.parametrize(("demo", "name"), SEAMS)
def test_the_sides_of_every_seam_are_as_long_as_meant(demo: str, name: str) -> None:
    for found in walks(demo, name):
        off = found.difference - EASED.get(name, 0.0)
        assert abs(off) <= 0.01 + ROUNDED.get(name, 0.0)


@pytest.mark.parametrize(("demo", "name"), SEAMS)
def test_notches_have_partners_and_meet(demo: str, name: str) -> None:
    for found in walks(demo, name):
        if found.whole:
            continue
        assert found.pairing.lone == ((), ())
        if name not in EASED:
            off = max(abs(stretch.difference) for stretch in found.stretches)
            assert off <= 0.02 + ROUNDED.get(name, 0.0)


def test_every_style_is_walked_where_it_differs() -> None:
    styles = {name: [w.style for w in walks("smock", name)] for name in ("side seam", "underarm")}
    assert styles == {
        "side seam": ["long", "short", "jacket"],
        "underarm": ["long", "jacket", "short"],
    }
    assert [w.style for w in walks("trousers", "inseam")] == ["long", "cropped"]


def test_the_ease_of_the_sleeve_lies_over_the_notches() -> None:
    """8 behind and 7 in front of the shoulder; below the notches nothing."""
    (found,) = walks("smock", "sleeve head")
    (back, front) = found.sides[0].lengths
    head = found.sides[1]
    assert found.sides[0].edges[0].piece.name == "Back"
    assert found.difference == pytest.approx(15, abs=0.01)
    low, crown, high = head.notches
    assert low == pytest.approx(85, abs=0.01)
    assert head.total - high == pytest.approx(85, abs=0.01)
    assert crown - back == pytest.approx(8, abs=0.01)
    assert head.total - crown - front == pytest.approx(7, abs=0.01)
    assert found.sides[0].notches == pytest.approx((85, back + front - 85), abs=0.01)
    assert [mark.count for mark in head.marks] == [2, 1, 1]


def test_a_sleeve_head_without_declared_ease_is_told() -> None:
    pattern, found = drafted_demo("smock"), seam("smock", "sleeve head")
    for ease, told in (((15.0, 15.0), []), ((0.0, 0.0), [15.0])):
        seams = tuple(replace(each, ease=ease) if each is found else each for each in pattern.seams)
        faults = check(replace(pattern, seams=seams))
        heads = [fault.numbers["ease_mm"] for fault in faults if fault.code == "sleeve-head"]
        assert heads == pytest.approx(told, abs=0.01)


@pytest.mark.parametrize(
    ("name", "style", "length"),
    [
        ("side seam", "long", 1025),
        ("inseam", "long", 758),
        ("side seam", "cropped", 825),
        ("inseam", "cropped", 558),
        ("waist", "", 890),
    ],
)
def test_lengths_of_the_trousers(name: str, style: str, length: float) -> None:
    found = next(each for each in walks("trousers", name) if each.style == style)
    assert found.totals == pytest.approx((length, length), abs=0.5)


def test_six_panels_go_round_the_brim_and_the_band() -> None:
    assert walks("hat", "crown to brim")[0].totals == pytest.approx((588, 588), abs=0.01)
    assert walks("hat", "crown to inner band")[0].totals == pytest.approx((588, 588), abs=0.01)


def across(demo: str, lines: tuple[str, str], seams: tuple[str, str], style: str = "") -> RunOn:
    """The angles of lines with a seam; each given as ``Piece: the maker's word``."""
    (one, line), (other, after) = (each.split(": ") for each in lines)
    return run_on(
        edge(demo, one, line, style),
        edge(demo, one, seams[0], style),
        edge(demo, other, seams[1], style),
        edge(demo, other, after, style),
    )


@pytest.mark.parametrize(
    ("demo", "lines", "seams", "styles"),
    [
        ("smock", ("Front: neck", "Back: neck"), ("shoulder", "shoulder"), ("",)),
        ("smock", ("Front: armhole", "Back: armhole"), ("shoulder", "shoulder"), ("",)),
        ("smock", ("Front: armhole", "Back: armhole"), ("side seam", "side seam"), ("",)),
        ("smock", ("Front: hem", "Back: hem"), ("side seam", "side seam"), ("long", "jacket")),
        ("smock", ("Sleeve: hem", "Sleeve: hem"), ("front underarm", "back underarm"),
         ("long", "short")),
        ("smock", ("Sleeve: head", "Sleeve: head"), ("front underarm", "back underarm"), ("",)),
        ("trousers", ("Front: hem", "Back: hem"), ("side seam", "side seam"), ("long", "cropped")),
        ("trousers", ("Front: hem", "Back: hem"), ("inseam", "inseam"), ("long", "cropped")),
        ("trousers", ("Front: waist", "Back: waist"),
         ("side seam, placket", "side seam, placket"), ("",)),
        ("trousers", ("Front: waist", "Front: waist"),
         ("front crotch seam", "front crotch seam"), ("",)),
        ("trousers", ("Back: waist", "Back: waist"), ("seat seam", "seat seam"), ("",)),
        ("trousers", ("Front: front crotch seam", "Back: seat seam"), ("inseam", "inseam"), ("",)),
        ("hat", ("Brim: outer edge", "Brim: outer edge"), ("side seam", "side seam"),
         ("wide", "narrow")),
        ("hat", ("Brim: head edge", "Brim: head edge"), ("side seam", "side seam"), ("",)),
        ("hat", ("Crown panel: lower edge", "Crown panel: lower edge"),
         ("left side", "right side"), ("",)),
    ],
)  # fmt: skip
def test_lines_run_on_across_seams(
    demo: str, lines: tuple[str, str], seams: tuple[str, str], styles: tuple[str, ...]
) -> None:
    for style in styles:
        assert across(demo, lines, seams, style).off == pytest.approx(0, abs=0.1)


def test_the_necks_leave_the_shoulder_at_80_and_100_degrees() -> None:
    found = across("smock", ("Front: neck", "Back: neck"), ("shoulder", "shoulder"))
    assert (found.first, found.second) == pytest.approx((80, 100), abs=0.1)
