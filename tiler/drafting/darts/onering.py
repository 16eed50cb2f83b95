"""All darts of one stitch line, in the order in which they have to be done."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from tiler.drafting.darts.bench import Bench
from tiler.drafting.darts.dart import Dart
from tiler.drafting.darts.drawn import drawn_mouths
from tiler.drafting.darts.fisheyes import drawn_fisheyes, wished_fisheye
from tiler.drafting.darts.folded import HalfMouth, drawn_on_fold, on_fold, refuse_in_fold
from tiler.drafting.darts.followers import (
    left_behind,
    moved_drills,
    moved_marks,
    standing_lines,
    standing_marks,
    within,
)
from tiler.drafting.darts.insert import refuse_outside
from tiler.drafting.darts.mouth import Mouth, pressed_to
from tiler.drafting.darts.pressing import pressed_mouths, uneven
from tiler.drafting.darts.single import cut_mouth, drill_short, order_of
from tiler.drafting.darts.telling import Story, capped_legs, opened_darts
from tiler.drafting.marking.places import distance_along, edge_named
from tiler.drafting.rings import refuse_unsound
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Finding, Line, Mark, Outline, Piece, Role
from tiler.pattern.wishes import DartWish, FisheyeWish


@dataclass
class Darted:
    """What the darts have made of one stitch line.

    Args:
        ring: The stitch line.
        lines: All lines of the piece that go with it.
        marks: All marks.
        findings: What was noticed.
    """

    ring: Outline
    lines: list[Line]
    marks: list[Mark]
    findings: list[Finding] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Made:
    """A dart as it is now.

    Args:
        dart: Whole, on a fold too.
        line: As it is to be drawn.
        drawn: Index of the line that it was drawn with; None for a wished one.
        capped: Whether it was trued and capped.
        where: Who asked for it.
    """

    dart: Dart
    line: Line
    drawn: int | None
    capped: bool
    where: str


def darted(ring: Outline, piece: Piece) -> Darted:
    """Do all darts of one stitch line; see `wished.with_darts`.

    Raises:
        PatternError: A dart that cannot be put in or capped; with its place.
    """
    where = piece.place
    traced = next(
        (o for o in piece.outlines if o.role is Role.CUT and o.style in ("", ring.style)), None
    )
    mouths = drawn_mouths(piece.lines, ring, traced, where)
    halves = _drawn_halves(piece, ring, traced, mouths)
    drawn, findings = pressed_mouths(mouths, halves, ring, piece, where)
    halves = halves if piece.wishes.press_darts else []
    bench = Bench(ring, drawn)
    notches = standing_marks(piece, ring, traced)
    ends = standing_lines(piece, ring, traced)
    bench.places |= {one: (one.letter, one.along) for one in (*notches, *ends)}
    wishes, wished_halves = _sorted_out(piece, ring, where)
    stories = _opened(bench, wishes, where)
    closed = bench.close()
    folded = bench.close_on_folds([*halves, *wished_halves], closed)
    findings += opened_darts(stories, closed, folded, bench.ring)
    findings += capped_legs(closed, where)
    made = [
        *(_Made(c.dart, c.dart.line, c.mouth.drawn, True, c.mouth.where) for c in reversed(closed)),
        *(_Made(h.dart, h.line, h.mouth.drawn, True, h.mouth.where) for h in folded),
        *_as_drawn(bench),
    ]
    findings += (told for one in made if not one.capped for told in uneven(one.dart, where))
    if closed or folded:
        _refuse_unsound(bench.ring, made, where)
    before = {mouth.drawn: mouth.dart(ring) for mouth in drawn if mouth.drawn is not None}
    legs = list(_legs(drawn, halves, ring))
    marks, told = moved_marks(piece, ring, bench, notches, legs, where)
    findings += told
    findings += left_behind(piece, ring, bench, ends, where)
    pairs = [(before[m.drawn], m.dart) for m in made if m.drawn in before]
    marks |= moved_drills(piece, pairs, ring.style)
    done = Darted(ring=bench.ring, lines=list(piece.lines), marks=[], findings=findings)
    done.marks += (m for i, old in enumerate(piece.marks) if (m := marks.get(i, old)) is not None)
    for one in made:
        _draw(done, one, before)
    done.findings += drawn_fisheyes(done.lines, done.marks, ring.style, where)
    for wish in piece.wishes.darts:
        if isinstance(wish, FisheyeWish):
            line, drills = wished_fisheye(wish, ring, done.ring, wish.where or where)
            done.lines.append(replace(line, style=ring.style))
            done.marks += (replace(mark, style=ring.style) for mark in drills)
    return done


def _drawn_halves(
    piece: Piece, ring: Outline, traced: Outline | None, mouths: list[Mouth]
) -> list[HalfMouth]:
    known = {mouth.drawn for mouth in mouths}
    found = [
        drawn_on_fold(line, index, ring, traced, piece.place)
        for index, line in enumerate(piece.lines)
        if index not in known and (not ring.style or line.style in ("", ring.style))
    ]
    return [half for half in found if half is not None]


def _sorted_out(piece: Piece, ring: Outline, where: str) -> tuple[list[DartWish], list[HalfMouth]]:
    """Wishes for darts with one tip: those in an edge, and those on a fold."""
    wishes: list[DartWish] = []
    halves: list[HalfMouth] = []
    for wish in piece.wishes.darts:
        if isinstance(wish, DartWish):
            asked = wish.where or where
            pressed_to(ring, wish.at.edge, wish.pressed, asked)
            half = on_fold(wish, ring, asked)
            if half is None:
                refuse_in_fold(ring, wish, asked)
                wishes.append(wish)
            else:
                halves.append(half)
    return wishes, halves


def _opened(bench: Bench, wishes: list[DartWish], where: str) -> list[Story]:
    """Open a mouth for every wished dart; the stories of those that an edge gave width for."""
    for number, wish in enumerate(wishes):
        edge = edge_named(bench.ring, wish.at.edge, wish.where or where)
        along = distance_along(edge, wish.at, wish.where or where)
        bench.places["dart", number] = edge.letter, along
    stories = []
    # First those that move the outline, so that the others are cut where they belong.
    order = sorted(range(len(wishes)), key=lambda number: not wishes[number].gives)
    for number in order:
        wish, asked = wishes[number], wishes[number].where or where
        place = bench.places.pop(("dart", number))
        assert place is not None
        side = pressed_to(bench.ring, wish.at.edge, wish.pressed, asked)
        if wish.gives:
            given, intake = order_of(wish, bench.ring, place, side)
            wide, _ = bench.open(given, asked)
            stories.append(Story(wish, intake, wide, asked))
        else:
            bench.mouths.append(cut_mouth(wish, bench.ring, place, side, asked))
    return stories


def _as_drawn(bench: Bench) -> Iterator[_Made]:
    """The drawn darts that are not pressed anywhere, where they are now."""
    for mouth in bench.mouths:
        if mouth.pressed is None:
            dart = mouth.dart(bench.ring)
            yield _Made(dart, dart.line, mouth.drawn, False, mouth.where)


def _legs(drawn: list[Mouth], halves: list[HalfMouth], ring: Outline) -> Iterator[Point]:
    """Where the legs of the drawn darts that are capped stood on the traced line."""
    for mouth in drawn:
        if mouth.pressed is not None:
            dart = mouth.dart(ring)
            yield from (dart.left, dart.right)
    for half in halves:
        path = edge_named(ring, half.letter, half.where).path
        yield path.point_at(half.wide if half.at_start else path.length - half.wide)[0]


def _refuse_unsound(ring: Outline, made: list[_Made], where: str) -> None:
    try:
        refuse_unsound(ring, "with its darts")
    except PatternError as told:
        raise told.within(where) from None
    for one in made:
        if one.capped and len(one.line.path.segments) == 2:
            try:
                refuse_outside(ring, one.dart)
            except PatternError as told:
                raise told.within(one.where) from None


def _draw(done: Darted, one: _Made, before: dict[int, Dart]) -> None:
    """Put the line of a dart among the lines, and its drill mark where there is none."""
    if one.drawn is None:
        style = done.ring.style
        done.lines.append(replace(one.line, style=style))
    else:
        style = done.lines[one.drawn].style
        if one.capped or one.dart != before.get(one.drawn):
            done.lines[one.drawn] = replace(one.line, style=style)
        if any(mark.role is Role.DRILL and within(one.dart, mark.at) for mark in done.marks):
            return
    if one.capped:
        drill = one.dart.drill_point(drill_short(one.dart))
        done.marks.append(replace(drill, style=style))
