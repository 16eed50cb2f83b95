"""Pictures of what the bench check finds: one for each fault, and one of all pieces."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.drafting.checks.fault import Fault, Spot
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern, Severity
from tiler.pattern.path import circle, rectangle
from tiler.pattern.units import format_mm
from tiler.sheets.column import Column
from tiler.sheets.drawing import Fill, Group, Item, Page, Pen, Stroke, Words
from tiler.sheets.lettering import BODY, LARGE, SMALL, TITLE, height_of, leading_of, width_of
from tiler.sheets.spotted import (
    GAP,
    WINDOW,
    Panel,
    laid_together,
    piece_strokes,
    ringed_pieces,
    side_by_side,
    white,
    window_on,
)
from tiler.sheets.walkbars import Closer, draw_walk

#: Width of a picture and its free edge, millimetres.
WIDE, EDGE = 240.0, 12.0
INNER = WIDE - 2 * EDGE

#: The overview: its width, how high a piece is drawn at most, and the ring of a number.
OVERVIEW, TALLEST, NUMBER = 420.0, 150.0, 3.4

_TAGS = {Severity.ERROR: (0.0, 1.0), Severity.WARNING: (0.6, 0.0), Severity.NOTE: (0.9, 0.0)}


def draw_fault(fault: Fault, pattern: Pattern, number: int) -> Page:
    """One picture: what was found, the seam as two ruled bars, the pieces, and what to do.

    Args:
        fault: What was found.
        pattern: Drafted.
        number: Its place in the list, from 1.
    """
    items: list[Item] = []
    down = _head(fault, number, items)
    down = _sentences(fault, items, down)
    if fault.walk is not None:
        bars, high = draw_walk(fault.walk, INNER, _closer(fault))
        items.append(Group(tuple(bars), at=Affine.move(EDGE, down)))
        down -= high + GAP
    panels = side_by_side(_panels(fault, pattern), INNER)
    items.append(Group(panels.items, at=Affine.move(EDGE, down)))
    height = -(down - panels.height) + EDGE
    return _page(f"{number:02d}-{fault.code}", WIDE, height, items)


def draw_overview(faults: Sequence[Fault], pattern: Pattern) -> Page:
    """All pieces small, a numbered ring at every place of a fault, and the list of faults."""
    items: list[Item] = []
    top = -EDGE - height_of(TITLE)
    items.append(Words(pattern.title, Point(EDGE, top), TITLE, bold=True))
    down = top - leading_of(BODY) - 2
    places = _numbered(faults)
    words = f"Bench check: {tally(faults)}. The numbers are those of the list."
    items.append(Words(words, Point(EDGE, down), BODY, grey=0.2))
    panels = side_by_side(_numbered_pieces(pattern, places), OVERVIEW - 2 * EDGE)
    down -= 6
    items.append(Group(panels.items, at=Affine.move(EDGE, down)))
    down -= panels.height + 4
    listed, low = _listed(faults, down)
    items += listed
    return _page("check", OVERVIEW, EDGE - low, items)


def _listed(faults: Sequence[Fault], down: float) -> tuple[list[Item], float]:
    """The faults in two columns, the first one filled first, and where they end."""
    half = (OVERVIEW - 2 * EDGE - GAP) / 2
    whole = _column(faults, 1, 0.0, half, 0.0)
    count = next(
        (
            n
            for n in range(len(faults))
            if -_column(faults[:n], 1, 0, half, 0).top * 2 >= -whole.top
        ),
        len(faults),
    )
    columns = (
        _column(faults[:count], 1, EDGE, half, down),
        _column(faults[count:], count + 1, EDGE + half + GAP, half, down),
    )
    items = [item for column in columns for item in column.items]
    return items, min(column.top for column in columns)


def _column(faults: Sequence[Fault], first: int, left: float, width: float, top: float) -> Column:
    column = Column(Bounds(left, -1e6, left + width, top))
    for number, fault in enumerate(faults, start=first):
        column.add(f"{number} {fault.severity.value}: {fault.where}", BODY, bold=True, after=0.2)
        column.add(f"{fault.text} {fault.remedy}", SMALL + 0.5)
    return column


def tally(faults: Sequence[Fault]) -> str:
    """``1 error, 2 warnings and 3 notes``, or ``nothing found``."""
    parts = []
    for severity in (Severity.ERROR, Severity.WARNING, Severity.NOTE):
        count = sum(fault.severity is severity for fault in faults)
        if count:
            parts.append(f"{count} {severity.value}{'s' if count > 1 else ''}")
    if not parts:
        return "nothing found"
    return " and ".join([", ".join(parts[:-1]), parts[-1]]) if len(parts) > 1 else parts[0]


def number_words(name: str, value: float) -> str:
    """A number of a fault for reading: ``first_mm`` 554.2 -> ``first 554.2 mm``."""
    stem, _, unit = name.rpartition("_")
    words = stem.replace("_", " ")
    if unit == "mm":
        return f"{words} {format_mm(value, 2)}"
    if unit == "degrees":
        return f"{words} {value:.1f}°"
    if unit == "share":
        return f"{words} {value:.1%}"
    return f"{name.replace('_', ' ')} {value:g}"


def _head(fault: Fault, number: int, items: list[Item]) -> float:
    paper, ink = _TAGS[fault.severity]
    word = fault.severity.value
    high = height_of(LARGE) + 3.0
    wide = width_of(word, LARGE, bold=True) + 5.0
    top = -EDGE
    box = rectangle(Bounds(EDGE, top - high, EDGE + wide, top))
    items.append(Fill((box,), paper))
    base = top - high + 1.5
    at = Point(EDGE + wide / 2, base)
    items.append(Words(word, at, LARGE, anchor="middle", bold=True, grey=ink))
    column = Column(Bounds(EDGE + wide + 4, -1e6, WIDE - EDGE, top - 1.5))
    column.add(f"{number} {fault.where}", LARGE, bold=True, after=0)
    items += column.items
    return min(top - high, column.top) - 3.0


def _sentences(fault: Fault, items: list[Item], down: float) -> float:
    column = Column(Bounds(EDGE, -1e6, WIDE - EDGE, down))
    column.add(fault.text, BODY + 1)
    column.add(f"What to do: {fault.remedy}", BODY + 1, bold=True)
    numbers = [number_words(name, value) for name, value in fault.numbers.items()]
    column.add(" · ".join([fault.code, *numbers]), SMALL + 0.5, grey=0.25)
    items += column.items
    return column.top - 3.0


def _closer(fault: Fault) -> Closer | None:
    """What to show large: a notch beside its partner, or the ends of a seam without ease."""
    numbers = fault.numbers
    if "second_should_be_mm" in numbers:
        return Closer(numbers["first_mm"], numbers["second_mm"], numbers["second_should_be_mm"])
    if fault.code == "seam-length" and fault.walk is not None and not fault.walk.whole:
        one, other = fault.walk.totals
        return Closer(one, other, one)
    return None


def _panels(fault: Fault, pattern: Pattern) -> list[Panel]:
    spots = fault.spots
    windows: list[Panel] = []
    crossing = [spot for spot in spots if spot.seams and spot.points]
    if crossing:
        windows.append(laid_together(crossing[0], crossing[-1]))
    elif len(spots) == 1 or fault.walk is not None:
        # Two pieces without a seam between them are compared whole.
        shown = [window_on(pattern, spot) for spot in spots if spot.points][:2]
        windows = [window for window in shown if window is not None]
    taken = sum(panel.width + GAP for panel in windows)
    return [*ringed_pieces(pattern, spots, max(INNER - taken, WINDOW)), *windows]


def _numbered(faults: Sequence[Fault]) -> dict[str, list[tuple[int, Spot]]]:
    found: dict[str, list[tuple[int, Spot]]] = {}
    for number, fault in enumerate(faults, start=1):
        for spot in fault.spots:
            found.setdefault(spot.piece, []).append((number, spot))
    return found


def _numbered_pieces(pattern: Pattern, places: dict[str, list[tuple[int, Spot]]]) -> list[Panel]:
    boxes = [piece.bounds for piece in pattern.pieces]
    factor = min(
        1.0,
        TALLEST / max(box.height for box in boxes),
        (OVERVIEW - 2 * EDGE) / max(box.width for box in boxes),
    )
    order = tuple(name for name, _ in pattern.styles)
    panels = []
    for piece, box in zip(pattern.pieces, boxes, strict=True):
        at = Affine(factor, 0, 0, factor, -box.left * factor + NUMBER, -box.top * factor - NUMBER)
        items = piece_strokes(piece, "", order, at)
        taken: list[Point] = []
        # Places come first: a ring for a whole edge has room elsewhere on it.
        for number, spot in sorted(places.get(piece.name, []), key=lambda each: not each[1].points):
            items += _ring(number, _free([at(point) for point in _places(spot)], taken), taken)
        high = box.height * factor + 2 * NUMBER
        base = -high - 2.0 - height_of(BODY)
        items.append(Words(piece.name, Point(0, base), BODY, bold=True))
        wide = max(box.width * factor + 2 * NUMBER, width_of(piece.name, BODY, bold=True))
        panels.append(Panel(tuple(items), wide, -base + 2.0))
    return sorted(panels, key=lambda panel: -panel.height)


def _places(spot: Spot) -> list[Point]:
    """Where the ring of a spot may lie, the best place first."""
    if spot.points:
        return [spot.points[0]]
    path = spot.paths[0]
    length = path.length
    return [path.point_at(length * share)[0] for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8)]


def _free(wanted: Sequence[Point], taken: Sequence[Point]) -> Point:
    """The first of the places with room for a ring, or one beside them."""
    beside = [
        Point(at.x + step * (2 * NUMBER + 0.4), at.y) for step in range(1, 24) for at in wanted[:1]
    ]
    for tried in [*wanted, *beside]:
        if all(tried.to(other) >= 2 * NUMBER for other in taken):
            return tried
    return wanted[0]


def _ring(number: int, at: Point, taken: list[Point]) -> list[Item]:
    taken.append(at)
    ring = circle(at, NUMBER)
    words = Words(
        str(number), Point(at.x, at.y - height_of(BODY) / 2), BODY, anchor="middle", bold=True
    )
    return [Fill((ring,), 1.0), Stroke((ring,), Pen(0.5)), words]


def _page(name: str, width: float, height: float, items: Sequence[Item]) -> Page:
    paper = white(Bounds(0, 0, width, height))
    moved = Group(tuple(items), at=Affine.move(0, height))
    return Page(name, width, height, (Group((paper, moved), furniture=True),))
