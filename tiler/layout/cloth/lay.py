"""A lay plan for what is needed of a cloth."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence

from tiler.layout.cloth.cuts import Cut, things_of, to_fold
from tiler.layout.cloth.engine import SECONDS
from tiler.layout.cloth.forms import Spot, Thing
from tiler.layout.cloth.model import Cloth, Laid, LayPlan, Match, Need, Part, Spread
from tiler.layout.cloth.phases import phases_of
from tiler.layout.cloth.ring import area_of, moved, points_of, ring_of
from tiler.layout.cloth.sharing import groups_of
from tiler.layout.cloth.stretch import HASTY, STAGES, Lain, lay
from tiler.layout.packing.options import Packing
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import ClothError

#: Told the millimetres of the shortest plan so far, and the share of the work done.
Progress = Callable[[float, float], None]


def lay_cloth(
    needs: Sequence[Need],
    cloth: Cloth,
    packing: Packing,
    progress: Progress | None = None,
    matches: Sequence[Match] = (),
    *,
    repeatable: bool = True,
) -> LayPlan:
    """Lay all that is needed on as little of a cloth as can be found.

    A repeatable result depends on nothing but the arguments: not on the machine, its speed or its
    cores.

    Args:
        needs: What is cut from it; at least one.
        cloth: The cloth; on folded cloth, what two layers cannot give is cut from a stretch that is
            opened out.
        packing: Effort and seed.
        progress: Told several times a second.
        matches: Where the check has to run on across a seam; asks for a repeat.
        repeatable: Without it, an engine that works by the clock may lay too, where it can.

    Raises:
        ClothError: A piece is wider than the cloth, or seams cannot match.
        KeyboardInterrupt: Before a first arrangement was found. Later on an interrupt ends the
            search, and the best plan is returned as `stopped`.
    """
    if not needs:
        raise ClothError("nothing is cut from it", where=f"cloth {cloth.name}")
    groups = groups_of(needs, cloth)
    phases = phases_of(needs, matches, cloth, _on_fold(groups))
    total = sum(len(cuts) for cuts in groups.values())
    parts: list[Part] = []
    seen: Counter[str] = Counter()
    before, start, stopped = 0.0, 0.0, False
    for spread, cuts in groups.items():
        share = len(cuts) / total

        def told(length: float, done: float) -> None:
            if progress:
                progress(start + length, before + done * share)  # noqa: B023

        things = things_of(cuts, cloth, spread, phases, start)
        stages = HASTY if stopped else STAGES[packing.effort]
        seconds = 0 if stopped or repeatable else SECONDS[packing.effort]
        lain = lay(things, cloth.room(spread), stages, packing.seed, told, seconds)
        parts.append(_part(spread, start, things, lain, seen))
        start, before = parts[-1].end + cloth.gap, before + share
        stopped = stopped or lain.stopped
    return _plan(cloth, parts, stopped)


def _on_fold(groups: Mapping[Spread, Sequence[Cut]]) -> dict[str, float]:
    """Pieces on the fold, and where their frame's origin then lies across."""
    return {
        cut.need.piece: to_fold(cut.need)(Point(0.0, 0.0)).y
        for cut in groups.get(Spread.FOLDED, ())
        if cut.on_fold
    }


def _part(
    spread: Spread, start: float, things: Sequence[Thing], lain: Lain, seen: Counter[str]
) -> Part:
    laid = []
    for thing, spot in zip(things, lain.spots, strict=True):
        cut = thing.tag
        assert isinstance(cut, Cut)
        seen[cut.need.piece] += 1
        laid.append(_laid(cut, thing, spot, start, seen[cut.need.piece]))
    return Part(spread, start, max(p.x for each in laid for p in each.outline), tuple(laid))


def _laid(cut: Cut, thing: Thing, spot: Spot, start: float, copy: int) -> Laid:
    at = thing.forms[spot.form].at.then(Affine.move(start + spot.x, spot.y))
    return Laid(
        piece=cut.need.piece,
        copy=copy,
        at=at,
        mirrored=at.determinant < 0,
        layers=cut.layers,
        on_fold=cut.on_fold,
        opened=cut.opened,
        outline=ring_of(moved(points_of(cut.ring), at)),
        halved=cut.halved,
    )


def _plan(cloth: Cloth, parts: Sequence[Part], stopped: bool) -> LayPlan:
    length = parts[-1].end
    used = sum(
        area_of(points_of(laid.outline)) * (2 if laid.on_fold else laid.layers)
        for part in parts
        for laid in part.laid
    )
    return LayPlan(cloth, tuple(parts), length, used / (length * cloth.across), stopped)
