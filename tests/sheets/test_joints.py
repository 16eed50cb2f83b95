"""Where pages meet, both print the same crosses, the joint's number and the neighbour's name."""

from __future__ import annotations

from collections import defaultdict

import pytest
import shapely

from tests.demos import each_publication, plan_of, publication_of, sheets_of
from tests.printed import groups_on, lines_on, words_on
from tests.strategies import pattern_of, rectangular
from tiler.layout.papers import find_paper
from tiler.layout.place import place
from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell, PageSetup
from tiler.pattern.affine import Point
from tiler.sheets.drawing import Group, Publication, Stroke
from tiler.sheets.publication import lay_out


def neighbours(plan: Plan) -> set[tuple[str, str]]:
    """Names of the printed pages that meet: (left or upper, right or lower)."""
    there = set(plan.cells)
    pairs = set()
    for cell in plan.cells:
        for other in (Cell(cell.row, cell.column + 1), Cell(cell.row + 1, cell.column)):
            if other in there:
                pairs.add((cell.name, other.name))
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
        for group in groups_on(page, "Joint"):
            facts = dict(group.facts)
            x, y = middle(group)
            origin = origins[page.name]
            key = (facts["Joint"], facts["Point"])
            assert page.name not in found[key]
            found[key][page.name] = Point(x + origin.x, y + origin.y)
    return found


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
        for group in groups_on(page, "Joint"):
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
    """The number of the joint and the page that meets there stand on both pages."""
    plan, publication = plan_of(demo, paper), publication_of(demo, paper)
    words = {page.name: [w.text for w in words_on(page)] for page in publication.pages}
    by_joint = defaultdict(set)
    for (joint, _), places in crosses(plan, publication).items():
        by_joint[joint] |= set(places)
    for joint, (one, other) in ((j, sorted(pages)) for j, pages in by_joint.items()):
        for here, there in ((one, other), (other, one)):
            telling = [w for w in words[here] if w.startswith(f"{joint:.0f} · ")]
            assert len(telling) == 1, (here, joint)
            assert there in telling[0].replace(",", " ").split(), telling


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
        for group in groups_on(page, "Joint"):
            spot = shapely.Point(*middle(group)).buffer(3)
            clear.append(not any(ink.intersects(spot) for ink in lines))
    assert sum(clear) >= 0.8 * len(clear)


@each_publication
def test_each_page_is_trimmed_at_its_left_and_its_top_joint_only(demo: str, paper: str) -> None:
    """Dashed trim lines run where a left or an upper neighbour is printed, full length."""
    plan = plan_of(demo, paper)
    pairs = neighbours(plan)
    for cell, page in sheets_of(demo, paper):
        trims = [
            line.path
            for line in lines_on(page)
            if not line.layer and line.pen.dash and line.path.length > 50
        ]
        wanted = sum((other, cell.name) in pairs for other in (c.name for c in plan.cells))
        assert len(trims) == wanted
        core, origin = plan.grid.core(cell), plan.grid.origin(cell)
        for path in trims:
            upright = path.start.x == path.end.x
            side = path.start.x + origin.x if upright else path.start.y + origin.y
            assert side == pytest.approx(core.left if upright else core.top)
            assert path.length == pytest.approx(core.height if upright else core.width)


def test_a_single_page_has_no_joint() -> None:
    """What fits on one page has neither crosses nor trim lines nor words about them."""
    pattern = pattern_of(rectangular("Pocket", 120, 150))
    publication = lay_out(pattern, place(pattern, [PageSetup(find_paper("a4"))]))
    assert [page.name for page in publication.pages][-1] == "A1"
    assert all(groups_on(page, "Joint") == [] for page in publication.pages)
    texts = " ".join(words.text for page in publication.pages for words in words_on(page))
    assert "goes over" not in texts
    assert "crosses" not in texts
