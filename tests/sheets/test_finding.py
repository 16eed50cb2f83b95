"""Pictures of faults show the two sides to scale, ring the place, and say what to do."""

from __future__ import annotations

import pytest

from tests.drafting.checks.making import notched, pattern, piece, seam
from tests.printed import lines_on, words_on
from tiler.drafting.checks import check
from tiler.drafting.checks.fault import Fault, Spot
from tiler.pattern.affine import STILL, Affine, Point
from tiler.pattern.model import Lies, Pattern, Severity
from tiler.sheets.drawing import Group, Item, Page, Stroke, Words, walk
from tiler.sheets.extent import word_boxes
from tiler.sheets.finding import INNER, draw_fault, draw_overview, number_words, tally
from tiler.sheets.spotted import WINDOW, window_on
from tiler.sheets.walkbars import draw_walk

BOX = [(0, 0), (0, 300), (200, 300), (200, 0)]


def unequal() -> Pattern:
    """Sides of 300 and 310, with notches 100 and 108 along."""
    front = notched(piece("Front", BOX), "A", 100)
    back = notched(piece("Back", [(0, 0), (0, 310), (200, 310), (200, 0)]), "A", 108)
    return pattern(front, back, seams=[seam("Front.A", "Back.A", "side")])


def notches_apart() -> Pattern:
    """Sides of 300 each, with notches 100 and 108 along."""
    front, back = notched(piece("Front", BOX), "A", 100), notched(piece("Back", BOX), "A", 108)
    return pattern(front, back, seams=[seam("Front.A", "Back.A", "side")])


def fault_of(made: Pattern, code: str) -> Fault:
    return next(fault for fault in check(made) if fault.code == code)


def words_of(page: Page) -> list[str]:
    return [item.text for item in walk(page.items) if isinstance(item, Words)]


def placed(items: tuple[Item, ...], at: Affine = STILL) -> list[tuple[Stroke, Affine]]:
    found: list[tuple[Stroke, Affine]] = []
    for item in items:
        if isinstance(item, Stroke):
            found.append((item, at))
        elif isinstance(item, Group):
            found += placed(item.items, item.at.then(at) if item.at else at)
    return found


def test_the_longer_bar_fills_the_width_and_the_other_is_in_proportion() -> None:
    made = unequal()
    page = draw_fault(fault_of(made, "seam-length"), made, 1)
    assert page.name == "01-seam-length"
    bars = [
        stroke.paths[0].bounds
        for stroke, _ in placed(page.items)
        if len(stroke.paths) == 1 and stroke.paths[0].closed and stroke.pen.width == 0.3
    ]
    widths = sorted(box.width for box in bars if box.width > INNER / 2)
    assert widths == pytest.approx([INNER * 300 / 310, INNER])


def test_the_picture_says_what_was_found_and_what_to_do() -> None:
    made = unequal()
    page = draw_fault(fault_of(made, "seam-length"), made, 1)
    told = " ".join(words_of(page))
    for words in ("error", "side (Front.A – Back.A)", "What to do:", "300 mm", "310 mm"):
        assert words in told


@pytest.mark.parametrize("code", ["seam-length", "piece-unsewn", "line-breaks", "fold-angle"])
def test_nothing_is_written_outside_of_the_picture(code: str) -> None:
    lies = {"A": Lies.FOLD, "D": Lies.HEM}
    front = piece("Front", [(0, 0), (0, 300), (200, 320), (200, -40)], lies=lies)
    back = piece("Back", [(0, 0), (0, 330), (200, 330), (200, 0)], lies={"D": Lies.HEM})
    made = pattern(front, back, piece("Pocket", BOX), seams=[seam("Front.C", "Back.A")])
    page = draw_fault(fault_of(made, code), made, 7)
    for box in word_boxes(page.items, STILL):
        assert box.left >= -0.1
        assert box.right <= page.width + 0.1
        assert box.bottom >= -0.1
        assert box.top <= page.height + 0.1


def test_the_place_is_ringed_where_it_is() -> None:
    made = pattern(piece("Front", BOX))
    fault = Fault("any", Severity.NOTE, "Front", "Text.", "Remedy.",
                  spots=(Spot("Front", (Point(50, 200),)),))  # fmt: skip
    page = draw_fault(fault, made, 1)
    rings = [
        (at(stroke.paths[0].bounds.centre), stroke.paths[0].bounds.width)
        for stroke, at in placed(page.items)
        if stroke.pen.width == 0.6 and stroke.paths[0].closed
    ]
    outline = next(
        (at, path)
        for stroke, at in placed(page.items)
        for path in stroke.paths
        if path.closed and len(path.segments) == 4 and path.bounds.width > 50
    )
    at, path = outline
    low = at(Point(path.bounds.left, path.bounds.bottom))
    # The cut line is 15 outside of the stitch line: 230 wide.
    scale = path.bounds.width / 230
    there = Point(low.x + (50 + 15) * scale, low.y + (200 + 15) * scale)
    assert min(centre.to(there) for centre, _ in rings) < 0.2


def test_the_overview_numbers_every_fault_and_lists_them_in_order() -> None:
    made = unequal()
    faults = check(made)
    page = draw_overview(faults, made)
    told = words_of(page)
    for number, fault in enumerate(faults, start=1):
        assert str(number) in told
        assert any(words.startswith(f"{number} {fault.severity.value}: ") for words in told)


def test_a_sound_pattern_has_an_overview_too() -> None:
    made = pattern(piece("Front", BOX))
    assert any("nothing found" in words for words in words_of(draw_overview((), made)))


@pytest.mark.parametrize(
    ("counts", "words"),
    [
        ((0, 0, 0), "nothing found"),
        ((1, 0, 0), "1 error"),
        ((0, 2, 1), "2 warnings and 1 note"),
        ((2, 1, 3), "2 errors, 1 warning and 3 notes"),
    ],
)
def test_tally(counts: tuple[int, int, int], words: str) -> None:
    kinds = (Severity.ERROR, Severity.WARNING, Severity.NOTE)
    faults = [
        Fault("any", kind, "Front", "Text.", "Remedy.")
        for kind, count in zip(kinds, counts, strict=True)
        for _ in range(count)
    ]
    assert tally(faults) == words


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("off_mm", 9.996, "off 10 mm"),
        ("break_degrees", -2.25, "break -2.2°"),
        ("traced_share", 0.25, "traced 25.0%"),
        ("edges", 3.0, "edges 3"),
    ],
)
def test_numbers_are_told_with_their_unit(name: str, value: float, words: str) -> None:
    assert number_words(name, value) == words


def test_the_ring_in_the_window_goes_round_the_notch() -> None:
    """The notch stands on the cut line, 15 mm outside of the seam on which its place is wrong."""
    made = notches_apart()
    fault = fault_of(made, "notch-off")
    front = next(spot for spot in fault.spots if spot.piece == "Front")
    (notch,) = made.pieces[0].marks
    window = window_on(made, front)
    assert window is not None
    (ring,) = (
        stroke.paths[0].bounds
        for stroke, _ in placed(window.items)
        if stroke.pen.width == 0.6 and stroke.paths[0].closed
    )
    # At true size, the place that the fault names is in the middle of the window.
    away = Affine.move(WINDOW / 2 - front.points[0].x, -WINDOW / 2 - front.points[0].y)
    for point in (away(notch.path.start), away(notch.path.end)):
        assert ring.centre.to(point) < ring.width / 2


def test_no_notch_strikes_out_a_number_or_a_name_of_the_bars() -> None:
    """Notches at 100 and at 108 of two sides: the number 100 is left away, 200 stays."""
    made = notches_apart()
    fault = fault_of(made, "notch-off")
    assert fault.walk is not None
    items, high = draw_walk(fault.walk, INNER)
    page = Page("bars", INNER, high, (Group(tuple(items), at=Affine.move(0, high)),))
    notches = [line.ink for line in lines_on(page) if line.pen.width == 0.7]
    assert len(notches) >= 2
    words = words_on(page)
    assert [w.text for w in words if any(w.ink.intersects(ink) for ink in notches)] == []
    told = [w.text for w in words]
    assert "200" in told
    assert told.count("100") < 2
