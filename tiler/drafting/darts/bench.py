"""A stitch line while darts are put into it: all that stands on it moves along."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from dataclasses import dataclass, field, replace
from itertools import pairwise

from tiler.drafting.darts.folded import HalfCapped, HalfMouth, half_capped
from tiler.drafting.darts.mouth import Capped, Mouth, capped
from tiler.drafting.darts.opening import DartOrder, Opened, opened
from tiler.drafting.darts.parts import distance_to
from tiler.drafting.marking.places import edge_named
from tiler.intake.nearest import nearest
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Outline

#: Mouths may overlap by rounding, in millimetres.
_ROUNDING = 1e-6


@dataclass
class Bench:
    """The work on one stitch line.

    Args:
        ring: As it is now.
        mouths: Darts that lie open in it.
        places: What stands on it, by name: letter of the edge and millimetres from its start;
            None once it has come to lie in the mouth of a dart.
    """

    ring: Outline
    mouths: list[Mouth] = field(default_factory=list)
    places: dict[Hashable, tuple[str, float] | None] = field(default_factory=dict)

    def point(self, name: Hashable) -> Point | None:
        """Where something stands now."""
        place = self.places[name]
        if place is None:
            return None
        return edge_named(self.ring, place[0], "").path.point_at(place[1])[0]

    def open(self, order: DartOrder, where: str) -> tuple[Opened, Mouth]:
        """Open an edge; darts that lie in what moves go along, tips too."""
        try:
            wide = opened(self.ring, order)
        except PatternError as told:
            raise told.within(where) from None
        before, self.ring = self.ring, wide.outline
        self.mouths = [_followed(mouth, before, wide) for mouth in self.mouths]
        self._carry(wide.carried)
        low, high = wide.mouth
        mouth = Mouth(wide.letter, low, high, wide.tip, order.pressed, where)
        self.mouths.append(mouth)
        return wide, mouth

    def close(self) -> list[Capped]:
        """True and cap all darts that are pressed somewhere, from the last one of each edge on.

        Raises:
            PatternError: Two darts overlap, or one cannot be capped.
        """
        done: list[Capped] = []
        for edge in self.ring.edges:
            mouths = sorted(
                (mouth for mouth in self.mouths if mouth.letter == edge.letter),
                key=lambda mouth: mouth.low,
            )
            for one, other in pairwise(mouths):
                if other.low < one.high - _ROUNDING:
                    raise PatternError(
                        f"it overlaps another dart in edge {edge.letter}",
                        where=other.where if other.drawn is None else one.where,
                        remedy="Part their places, or let them take in less.",
                    )
            ends = [0.0, *(mouth.high for mouth in mouths)]
            starts = [*(mouth.low for mouth in mouths), edge.path.length]
            for number in reversed(range(len(mouths))):
                mouth = mouths[number]
                if mouth.pressed is None:
                    continue
                room = mouth.low - ends[number], starts[number + 1] - mouth.high
                made = capped(self.ring, mouth, room)
                self.ring = made.outline
                self._carry(made.carried)
                self.mouths = [_beside(each, made) for each in self.mouths]
                done.append(made)
        return done

    def close_on_folds(self, halves: list[HalfMouth], closed: list[Capped]) -> list[HalfCapped]:
        """Put the caps on darts whose middle is a fold.

        Args:
            halves: Those darts.
            closed: The others that are closed already.

        Raises:
            PatternError: One overlaps another dart, or cannot be capped.
        """
        done: list[HalfCapped] = []
        for half in halves:
            edge = edge_named(self.ring, half.letter, half.where)
            ends = [nearest(edge.path, end) for each in closed if each.mouth.letter == half.letter
                    for end in (each.dart.left, each.dart.right)]  # fmt: skip
            places = [distance_to(edge.path, near.segment, near.t) for near in ends]
            for mouth in self.mouths:
                if mouth.pressed is None and mouth.letter == half.letter:
                    places += (mouth.low, mouth.high)
            length = edge.path.length
            room = [place if half.at_start else length - place for place in places]
            if min(room, default=length) < half.wide:
                raise PatternError(
                    f"the dart on the fold overlaps another dart in edge {edge.letter}",
                    where=half.where,
                    remedy="Part their places, or let them take in less.",
                )
            made = half_capped(self.ring, half)
            self.ring = made.outline
            self._carry(made.carried)
            self.mouths = [_beside(each, made) for each in self.mouths]
            done.append(made)
        return done

    def _carry(self, carried: Callable[[str, float], float | None]) -> None:
        for name, place in self.places.items():
            if place is not None:
                along = carried(*place)
                self.places[name] = None if along is None else (place[0], along)


def _beside(mouth: Mouth, made: Capped | HalfCapped) -> Mouth:
    """A dart that stays as drawn, after another one was capped; its tip does not move."""
    if mouth.pressed is not None:
        return mouth
    low = made.carried(mouth.letter, mouth.low)
    high = made.carried(mouth.letter, mouth.high)
    return mouth if low is None or high is None else replace(mouth, low=low, high=high)


def _followed(mouth: Mouth, before: Outline, wide: Opened) -> Mouth:
    """A dart after the ring was opened elsewhere; its tip moves as its leg ends do on average."""
    low = wide.carried(mouth.letter, mouth.low)
    high = wide.carried(mouth.letter, mouth.high)
    old, now = (edge_named(ring, mouth.letter, "").path for ring in (before, wide.outline))
    by = [
        (new.x - was.x, new.y - was.y)
        for was, new in (
            (old.point_at(mouth.low)[0], now.point_at(low)[0]),
            (old.point_at(mouth.high)[0], now.point_at(high)[0]),
        )
    ]
    x, y = (sum(each) / 2 for each in zip(*by, strict=True))
    tip = Point(mouth.tip.x + x, mouth.tip.y + y)
    return replace(mouth, low=low, high=high, tip=tip)
