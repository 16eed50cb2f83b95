"""Where pages meet, both print the same crosses, the joint's number and the neighbour's name."""

from __future__ import annotations

from collections import defaultdict

import pytest
import shapely

from tests.demos import each_publication, pattern_of_demo, plan_of, publication_of
from tests.laying import laid
from tests.printed import fills_on, groups_on, lines_on, uses_on, words_on
from tests.sheets.test_nothing_overlaps import all_faults
from tests.strategies import pattern_of, rectangular
from tiler.layout.papers import find_paper
from tiler.layout.plan import Plan
from tiler.layout.tiles import PageSetup
from tiler.pattern.affine import Point
from tiler.sheets.drawing import Drawing, Group, Publication, Stroke
from tiler.sheets.pens import GLUE_TINT, TRIM
from tiler.sheets.publication import lay_out
from tiler.sheets.ticks import Ticks, vernier
from tiler.sheets.ways import Way


def neighbours(plan: Plan) -> set[tuple[str, str]]:
    """Names of the printed pages that meet: (left or upper, right or lower), one pitch apart."""
    across, down = plan.grid.setup.pitch
    origins = {cell: plan.grid.origin(cell) for cell in plan.cells}
    pairs = set()
    for cell, (x, y) in origins.items():
        for step in (Point(x + across, y), Point(x, y - down)):
            pairs |= {
                (cell.name, other.name) for other, at in origins.items() if at.to(step) < 0.01
            }
    return pairs


def middle(group: Group) -> Point:
    """Where the two strokes of a cross meet: the one point that lies on both."""
    (stroke,) = group.items
    assert isinstance(stroke, Stroke)
    one, other = stroke.paths
    flat, upright = (one, other) if one.start.y == one.end.y else (other, one)
    return Point(upright.start.x, flat.start.y)


def crosses(plan: Plan, publication: Publication) -> dict[tuple[float, float], dict[str, Point]]:
    """(joint, point) -> page name -> place on the sheet."""
    found: dict[tuple[float, float], dict[str, Point]] = defaultdict(dict)
    origins = {cell.name: plan.grid.origin(cell) for cell in plan.cells}
    for page in publication.pages:
        for group in groups_on(page, "Point"):
            facts = dict(group.facts)
            x, y = middle(group)
            origin = origins[page.name]
            key = (facts["Joint"], facts["Point"])
            assert page.name not in found[key]
            found[key][page.name] = Point(x + origin.x, y + origin.y)
    return found


def both(kind: Ticks, over: bool) -> tuple[Drawing, Drawing]:
    """Ticks with their numbers and words, and without."""
    return vernier(kind, over), vernier(kind, over, True)


@each_publication
def test_both_pages_of_a_joint_print_its_crosses_at_the_same_place(demo: str, paper: str) -> None:
    """Two crosses a joint, each printed by exactly the two pages that meet, at one sheet point."""
    plan, publication = plan_of(demo, paper), publication_of(demo, paper)
    found = crosses(plan, publication)
    pairs = neighbours(plan)
    assert len(found) == 2 * len(pairs)
    assert {point for _, point in found} == {1, 2}
    met = set()
    for places in found.values():
        (one, here), (other, there) = sorted(places.items())
        assert here.to(there) < 1e-9
        met.add((one, other) if (one, other) in pairs else (other, one))
    assert met == pairs


@each_publication
def test_crosses_lie_on_the_joint_line_well_apart(demo: str, paper: str) -> None:
    """Both lie on the border of the two cores, a third of its length apart at least."""
    plan = plan_of(demo, paper)
    cores = {cell.name: plan.grid.core(cell) for cell in plan.cells}
    joints: dict[float, list[Point]] = defaultdict(list)
    for (joint, _), places in crosses(plan, publication_of(demo, paper)).items():
        for name, at in places.items():
            core = cores[name]
            sides = (at.x - core.left, core.right - at.x, at.y - core.bottom, core.top - at.y)
            assert min(abs(side) for side in sides) < 1e-9
            assert min(sides) > -1e-9
        joints[joint].append(at)
    for first, second in joints.values():
        assert first.to(second) > 50


@each_publication
def test_a_cross_is_two_short_lines_that_both_pages_can_print(demo: str, paper: str) -> None:
    """Its arms stay inside the pattern window, so trimming and margins take nothing of it."""
    window = plan_of(demo, paper).grid.setup.window.grown(1e-9)
    for page in publication_of(demo, paper).pages:
        for group in groups_on(page, "Point"):
            (stroke,) = group.items
            assert isinstance(stroke, Stroke)
            for path in stroke.paths:
                box = path.bounds
                assert box.left >= window.left
                assert box.right <= window.right
                assert box.bottom >= window.bottom
                assert box.top <= window.top
                assert 4 <= path.length <= 12


@each_publication
def test_each_page_names_its_neighbours_beside_the_joint(demo: str, paper: str) -> None:
    """The joint's number stands bold before the page that meets there, both 10 pt or more."""
    plan, publication = plan_of(demo, paper), publication_of(demo, paper)
    words = {page.name: words_on(page) for page in publication.pages}
    by_joint = defaultdict(set)
    for (joint, _), places in crosses(plan, publication).items():
        by_joint[joint] |= set(places)
    for joint, (one, other) in ((j, sorted(pages)) for j, pages in by_joint.items()):
        for here, there in ((one, other), (other, one)):
            numbers = [w for w in words[here] if w.text == f"{joint:.0f}" and w.bold]
            telling = [
                (number, w)
                for number in numbers
                for w in words[here]
                if there in w.text.replace(",", " ").split() and w.ink.distance(number.ink) < 3
            ]
            assert len(telling) == 1, (here, joint)
            assert min(w.size_pt for w in telling[0]) >= 10


@each_publication
def test_joints_are_numbered_from_one_in_reading_order(demo: str, paper: str) -> None:
    """No number is missing, and the left or upper page of each comes in page order."""
    plan = plan_of(demo, paper)
    order = [cell.name for cell in plan.cells]
    pages: dict[float, set[str]] = defaultdict(set)
    for (joint, _), places in crosses(plan, publication_of(demo, paper)).items():
        pages[joint] |= set(places)
    assert sorted(pages) == list(range(1, len(pages) + 1))
    firsts = [min(order.index(name) for name in pages[joint]) for joint in sorted(pages)]
    assert firsts == sorted(firsts)


@each_publication
def test_crosses_keep_clear_of_pattern_lines_where_they_can(demo: str, paper: str) -> None:
    """Four of five crosses at least stand where no pattern line disturbs them."""
    clear = []
    for page in publication_of(demo, paper).pages:
        lines = [line.ink for line in lines_on(page) if line.pattern and not line.ink.is_empty]
        for group in groups_on(page, "Point"):
            spot = shapely.Point(*middle(group)).buffer(3)
            clear.append(not any(ink.intersects(spot) for ink in lines))
    assert clear
    assert sum(clear) >= 0.8 * len(clear)


@each_publication
def test_ticks_of_both_pages_meet_on_their_joint(demo: str, paper: str) -> None:
    """Each joint has straight and slanted ticks, on both pages about one point of the sheet."""
    plan, publication = plan_of(demo, paper), publication_of(demo, paper)
    pages = {page.name: page for page in publication.pages}
    cells = {cell.name: cell for cell in plan.cells}
    joints: dict[str, list[tuple[str, str]]] = defaultdict(list)
    for under, over in neighbours(plan):
        joints[under].append((under, over))
        joints[over].append((under, over))
    for kind in Ticks:
        placed = {
            (name, over): [
                (at.a, at.e + plan.grid.origin(cell).x, at.f + plan.grid.origin(cell).y)
                for at in uses_on(pages[name], *both(kind, over))
            ]
            for name, cell in cells.items()
            for over in (False, True)
        }
        for name, pairs in joints.items():
            assert len(placed[name, False]) + len(placed[name, True]) == len(pairs)
        for under, over in neighbours(plan):
            core, other = plan.grid.core(cells[under]), plan.grid.core(cells[over])
            upright = cells[under].row == cells[over].row
            met = [
                (x, y)
                for turn, x, y in placed[under, False]
                for turned, u, v in placed[over, True]
                if Point(x, y).to(Point(u, v)) < 1e-9
                if round(turn) == round(turned) == (0 if upright else 1)
            ]
            ((x, y),) = met
            assert (x if upright else y) == pytest.approx(core.right if upright else core.bottom)
            assert (x if upright else y) == pytest.approx(other.left if upright else other.top)
            assert core.bottom - 1e-9 <= y <= core.top + 1e-9
            assert core.left - 1e-9 <= x <= core.right + 1e-9


@each_publication
def test_ticks_keep_clear_of_pattern_lines_where_they_can(demo: str, paper: str) -> None:
    """Nine of ten at least have nothing of the pattern among them."""
    clear = []
    for page in publication_of(demo, paper).pages:
        lines = [line.ink for line in lines_on(page) if line.pattern and not line.ink.is_empty]
        for kind in Ticks:
            for over in (False, True):
                for drawing in both(kind, over):
                    for at in uses_on(page, drawing):
                        spot = shapely.box(*drawing.bounds.moved(at))
                        clear.append(not any(ink.intersects(spot) for ink in lines))
    assert clear
    assert sum(clear) >= 0.9 * len(clear)


@pytest.mark.parametrize("way", list(Way))
@pytest.mark.parametrize("demo", ["hat", "smock"])
def test_trim_lines_run_where_the_way_says(demo: str, way: Way) -> None:
    """Overlap: at left and upper neighbours. Butt: at all. See-through: nowhere. Full length."""
    plan = plan_of(demo, "a4")
    publication = lay_out(pattern_of_demo(demo), plan, way=way)
    pages = {page.name: page for page in publication.pages}
    pairs = neighbours(plan)
    total = 0
    for cell in plan.cells:
        core, origin = plan.grid.core(cell), plan.grid.origin(cell)
        before = [under for under, over in pairs if over == cell.name]
        after = [over for under, over in pairs if under == cell.name]
        cut = {
            Way.OVERLAP: len(before),
            Way.BUTT: len(before) + len(after),
            Way.SEE_THROUGH: 0,
        }[way]
        trims = [
            line.path
            for line in lines_on(pages[cell.name])
            if not line.pattern and line.pen == TRIM and line.path.length > 50
        ]
        assert len(trims) == cut
        total += cut
        for path in trims:
            upright = path.start.x == path.end.x
            side = path.start.x + origin.x if upright else path.start.y + origin.y
            sides = (core.left, core.right) if upright else (core.bottom, core.top)
            joined = sides if way is Way.BUTT else (sides[0] if upright else sides[1],)
            assert min(abs(side - each) for each in joined) < 1e-9
            assert path.length == pytest.approx(core.height if upright else core.width)
    assert (total > 0) == (way is not Way.SEE_THROUGH)


@pytest.mark.parametrize("way", list(Way))
def test_only_a_band_that_is_lain_under_is_tinted(way: Way) -> None:
    """The tint says: leave this on. So it is on no strip that is cut off, and over no light."""
    plan = plan_of("hat", "a4")
    publication = lay_out(pattern_of_demo("hat"), plan, way=way)
    names = {cell.name for cell in plan.cells}
    tints = sum(
        fill.grey == GLUE_TINT and fill.ink.area > 500
        for page in publication.pages
        if page.name in names
        for fill in fills_on(page)
    )
    assert tints == (len(neighbours(plan)) if way is Way.OVERLAP else 0)


@pytest.mark.parametrize("way", list(Way))
def test_the_words_at_a_joint_say_what_to_do(way: Way) -> None:
    """Cut here where there is a trim line, do not cut where nothing is trimmed."""
    plan = plan_of("hat", "a4")
    publication = lay_out(pattern_of_demo("hat"), plan, way=way)
    names = {cell.name for cell in plan.cells}
    texts = [w.text for page in publication.pages if page.name in names for w in words_on(page)]
    joints = len(neighbours(plan))
    assert sum(text.startswith("cut here, ") for text in texts) <= joints * (1 + way.trims_under)
    assert any(text.startswith("cut here, ") for text in texts) == way.trims_over
    assert any(text.startswith("do not cut, ") for text in texts) == (not way.trims_over)


@pytest.mark.parametrize("way", list(Way))
def test_every_way_keeps_words_apart(way: Way) -> None:
    """Whatever the words say, no line runs through them, and they stay inside the margin."""
    plan = plan_of("hat", "a4")
    assert all_faults(lay_out(pattern_of_demo("hat"), plan, way=way), plan.grid.setup) == []


def test_a_single_page_has_no_joint() -> None:
    """What fits on one page has neither crosses nor trim lines nor words about them."""
    pattern = pattern_of(rectangular("Pocket", 120, 150))
    publication = lay_out(pattern, laid(pattern, [PageSetup(find_paper("a4"))]))
    assert [page.name for page in publication.pages][-1] == "A1"
    assert all(groups_on(page, "Point") == [] for page in publication.pages)
    texts = " ".join(words.text for page in publication.pages for words in words_on(page))
    assert "goes over" not in texts
    assert "crosses" not in texts
