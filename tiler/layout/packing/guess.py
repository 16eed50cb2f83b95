"""What moves would cost by a rough count, which is quick: from points, not from whole lines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tiler.layout.ink import Floats
from tiler.layout.packing.burden import Burden, crossing_work, sheet_burden, total
from tiler.layout.packing.lying import Lying
from tiler.layout.packing.spread import Spread, together
from tiler.layout.tiles import Cell


@dataclass(frozen=True)
class Guess:
    """What a shift of one unit would cost, roughly: its rank, the shift, whom it may hit."""

    burden: Burden
    far: float
    shift: tuple[float, float]
    near: tuple[int, ...]


@dataclass(frozen=True)
class _Pages:
    """All sheets' burden less what other units add, the pages of a unit's sheet, its others."""

    burden: Burden
    printed: frozenset[Cell]
    near: tuple[int, ...]


def guesses(spread: Spread, unit: int, lying: Lying, shifts: Floats) -> list[Guess]:
    """The shifts of a unit that would make things better, by a rough count; best first."""
    if not len(shifts):
        return []
    others = _without(spread, unit)
    # What the other units of all sheets add is taken to stay.
    before = total([rest_of for k, rest_of in spread.own_burden.items() if k != unit])
    spread.steps += len(shifts) * (8.0 + len(lying.points) / 12)
    found = []
    known: dict[tuple[frozenset[Cell], frozenset[Cell]], _Pages | None] = {}
    for (x, y), key in zip(
        shifts.tolist(), lying.rough_cells(shifts, spread.pitch, spread.past), strict=True
    ):
        if key not in known:
            pages = _pages(spread, *key, others, len(spread.cells[unit]) == 1)
            good = pages and (pages.burden + before).beats(spread.burden)
            known[key] = pages if good else None
        there = known[key]
        if there is None:
            continue
        spread.steps += 80.0
        along = lying.rails.along(spread.pitch, there.printed, (x, y))
        burden = there.burden + before + Burden(work=along)
        if burden.beats(spread.burden):
            found.append(Guess(burden, round(x * x + y * y, 2), (x, y), there.near))
    return sorted(found, key=lambda guess: (guess.burden, guess.far, guess.shift))


def sheet_shifts(spread: Spread, number: int, shifts: Floats) -> list[tuple[float, float]]:
    """The shifts of a whole sheet that would make things better, by a rough count; best first.

    Args:
        number: Which of the sheets.
        shifts: Millimetres across and up, shape (n, 2).
    """
    members = spread.sheets[number].members
    cells = [spread.lying[k].rough_cells(shifts, spread.pitch, spread.past) for k in members]
    spread.steps += len(shifts) * sum(100.0 + len(spread.lying[k].points) / 12 for k in members)
    found = []
    for place, (x, y) in enumerate(shifts.tolist()):
        burdens = []
        for group in together([each[place][0] for each in cells]):
            printed = frozenset().union(*(cells[k][place][0] for k in group))
            burdens.append(sheet_burden(printed, spread.pitch))
            for k in group:
                need, touch = cells[k][place]
                own = Burden(work=crossing_work(need | (touch & printed)))
                rails = spread.lying[members[k]].rails
                burdens += [own, Burden(work=rails.along(spread.pitch, printed, (x, y)))]
        burden = total(burdens)
        if burden.beats(spread.burdens[number]):
            found.append((burden, round(x * x + y * y, 2), (x, y)))
    return [shift for _, _, shift in sorted(found)]


def _pages(
    spread: Spread,
    need: frozenset[Cell],
    touch: frozenset[Cell],
    others: Sequence[tuple[tuple[int, ...], frozenset[Cell]]],
    single: bool,
) -> _Pages | None:
    """The sheet of a unit on certain cells; None where it leaves the one page it had."""
    hit = [entry for entry in others if entry[1] & need]
    printed = need.union(*(cells for _, cells in hit))
    own = need | (touch & printed)
    if single and len(own) > 1:
        return None
    sheets = [printed, *(cells for _, cells in others if not cells & need)]
    burden = total([sheet_burden(cells, spread.pitch) for cells in sheets])
    burden += Burden(work=crossing_work(own))
    return _Pages(burden, printed, tuple(k for members, _ in hit for k in members))


def _without(spread: Spread, unit: int) -> list[tuple[tuple[int, ...], frozenset[Cell]]]:
    """Members and pages of the sheets that there would be without a unit."""
    found = [
        (each.members, each.printed)
        for each in spread.sheets
        if each.members and unit not in each.members
    ]
    rest = [k for k in spread.sheets[spread.sheet_of[unit]].members if k != unit]
    for numbers in together([spread.cells[k] for k in rest]):
        members = tuple(rest[number] for number in numbers)
        found.append((members, frozenset().union(*(spread.cells[k] for k in members))))
    return found
