"""What the maker is told of darts that were put in or trued."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tiler.drafting.darts.blend import step
from tiler.drafting.darts.check import CheckIntake
from tiler.drafting.darts.folded import HalfCapped
from tiler.drafting.darts.mouth import Capped
from tiler.drafting.darts.opening import Opened
from tiler.drafting.marking.places import edge_named
from tiler.pattern.model import Finding, Outline, Severity
from tiler.pattern.units import format_mm
from tiler.pattern.wishes import CheckCloth, DartWish

#: Legs that differ by more (millimetres) before truing are worth a word.
_WORTH = 0.05
#: By more than this (millimetres), the drawing wants a second look. Common practice, no source.
_MUCH = 5.0


@dataclass(frozen=True, slots=True)
class Story:
    """A dart that an edge gave width for.

    Args:
        wish: What was asked.
        intake: In millimetres.
        wide: What was done.
        where: Who asked.
    """

    wish: DartWish
    intake: CheckIntake
    wide: Opened
    where: str


@dataclass(frozen=True, slots=True)
class Measured:
    """An edge with darts.

    Args:
        sewn: Millimetres with the darts sewn.
        flat: The same straight across the open darts.
    """

    sewn: float
    flat: float


def measured(
    letter: str, closed: Sequence[Capped], halves: Sequence[HalfCapped], ring: Outline
) -> Measured:
    """The length of an edge with its darts sewn, and flat.

    Args:
        letter: The edge.
        closed: All darts of the ring.
        halves: All darts on its folds, which count by half.
        ring: With the caps of the darts.
    """
    caps = [(one.cap.length, one.dart.intake) for one in closed if one.mouth.letter == letter]
    caps += [(h.cap.length, h.dart.intake / 2) for h in halves if h.mouth.letter == letter]
    whole = edge_named(ring, letter, "").path.length
    sewn = whole - sum(cap for cap, _ in caps)
    return Measured(sewn, sewn + sum(intake for _, intake in caps))


def opened_darts(
    stories: Sequence[Story],
    closed: Sequence[Capped],
    halves: Sequence[HalfCapped],
    ring: Outline,
) -> Iterator[Finding]:
    """Tell of every dart that an edge gave width for, with the new measures."""
    for story in stories:
        letter, gives = story.wide.letter, story.wide.was.letter
        edge = measured(letter, closed, halves, ring)
        yield Finding(
            "dart-opened",
            Severity.NOTE,
            story.where,
            f"The dart in edge {_named(ring, letter)} takes in {_intake(story)}. The edge now "
            f"measures {format_mm(edge.sewn)} with its darts sewn and {format_mm(edge.flat)} flat. "
            f"Edge {_named(ring, gives)} gave the width: it measured "
            f"{format_mm(story.wide.was.path.length)} and now measures "
            f"{format_mm(edge_named(ring, gives, '').path.length)}. {_lower(story)}",
        )


def _intake(story: Story) -> str:
    if not isinstance(story.wish.intake, CheckCloth):
        return format_mm(story.intake.value)
    cloth = story.wish.intake
    low, high = story.intake.within
    return (
        f"{format_mm(story.intake.value)} as read off the cloth ({cloth.repeats} repeats of "
        f"{format_mm(cloth.flat, 2)} flat and {format_mm(cloth.sewn, 2)} sewn), which is sure to "
        f"{format_mm(story.intake.uncertainty)} either way where both were measured over "
        f"{cloth.repeats} repeats to 0.5 mm: from {format_mm(low)} to {format_mm(high)}"
    )


def _lower(story: Story) -> str:
    """How much wider the piece is at the level of the tip."""
    wish, over = story.wish, story.wide.over
    if wish.length >= over:
        return f"From {format_mm(over)} along it on, above the tip's level, all is as traced."
    wider = widening(story.intake.value, wish.length, over)
    return (
        f"At the level of the tip, {format_mm(wish.length)} along it, the piece is "
        f"{format_mm(wider)} wider than traced; from {format_mm(over)} on all is as traced, the "
        "hip too if it lies there."
    )


def widening(intake: float, distance: float, over: float) -> float:
    """How far an edge that gave width stands out, in millimetres.

    intake x (1 - 3 t^2 + 2 t^3), t = distance / over, as in `blend.moved_start`.

    Args:
        intake: Of the dart.
        distance: Millimetres along the edge from the dart's edge.
        over: The blend distance.
    """
    return intake * step(min(distance / over, 1.0))


def capped_legs(closed: Sequence[Capped], where: str) -> Iterator[Finding]:
    """Tell of darts whose legs had to be trued by a visible amount."""
    for each in closed:
        left, right = each.legs
        off = abs(left - right)
        if off <= _WORTH:
            continue
        look = " Look at the drawing: that is much." if off > _MUCH else ""
        yield Finding(
            "dart-legs-trued",
            Severity.WARNING if off > _MUCH else Severity.NOTE,
            each.mouth.where or where,
            f"The legs of the dart in edge {each.mouth.letter} measured {format_mm(left, 2)} and "
            f"{format_mm(right, 2)}; both now measure {format_mm(each.dart.legs[0], 2)}, and the "
            f"edge beside them was redrawn to meet them.{look}",
        )


def _named(ring: Outline, letter: str) -> str:
    name = edge_named(ring, letter, "").name
    return f"{letter} ({name})" if name else letter
