"""How each piece may be cut from a stretch of cloth: layers, faces, turns, and where."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from tiler.drafting.unfold.mirror import Axis, angle_between
from tiler.layout.cloth.demand import middle_line, whole_ring
from tiler.layout.cloth.forms import Form, Thing, Ties
from tiler.layout.cloth.halves import halved
from tiler.layout.cloth.model import FOLD_CLEAR, Cloth, Need, Spread
from tiler.layout.cloth.phases import Phase, frame, tied
from tiler.layout.cloth.ring import Floats, Ring, area_of, moved, points_of
from tiler.pattern.affine import STILL, Affine
from tiler.pattern.errors import ClothError
from tiler.pattern.model import Lay

#: A fold this near to the grain (degrees) lies along it, as the fold of the cloth does.
ALONG = 0.5
#: Shares of the tilt that is allowed which are tried.
_TILTS = (0.0, -1.0, 1.0, -0.5, 0.5)
_FLIP = Affine.scale(1.0, -1.0)
_ROUNDING = 1e-6


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut of a piece through one or two layers.

    Args:
        need: Of which piece.
        layers: 1, or 2 on folded cloth.
        down: Whether it has to lie face down; None for either way.
        on_fold: Whether its middle lies on the fold.
        halved: Whether the piece is drawn whole and its paper is folded for that.
    """

    need: Need
    layers: int = 1
    down: bool | None = False
    on_fold: bool = False
    halved: bool = False

    @property
    def opened(self) -> bool:
        """Whether a half piece is cut as a whole."""
        return self.need.fold is not None and not self.on_fold

    @property
    def ring(self) -> Ring:
        """What is cut, piece coordinates."""
        need = self.need
        if self.halved:
            return halved(need.ring, middle_line(need.ring, need.grain))
        return need.ring if self.on_fold else whole_ring(need)


def cuts_of(need: Need, spread: Spread, *, nap: bool, tilt: float = 0.0) -> list[Cut] | None:
    """The cuts that give a piece as often as it is needed.

    Args:
        need: The piece.
        spread: How the cloth lies.
        nap: Whether the cloth has a way up.
        tilt: Degrees off the grain that the user allows.

    Returns:
        None where folded cloth cannot give it.
    """
    if need.lay is Lay.PAIR:
        if spread is Spread.FOLDED:
            return [Cut(need, 2, None)] * (need.count // 2)
        return [Cut(need, 1, face) for _ in range(need.count // 2) for face in (False, True)]
    if spread is Spread.SINGLE:
        return [Cut(need)] * need.count
    if need.fold is not None:
        along = off_grain(need) <= max(ALONG, tilt)
        return [Cut(need, 1, None, on_fold=True)] * need.count if along else None
    twice, lone = divmod(need.count, 2)
    if not (need.symmetric or (need.even and not nap)) or (lone and not need.symmetric):
        return None
    doubles = [Cut(need, 2, None if need.symmetric else False)] * twice
    return doubles + [Cut(need, 1, None, on_fold=True, halved=True)] * lone


def off_grain(need: Need) -> float:
    """Degrees between the fold of a half piece and its grain."""
    if need.fold is None:
        return 0.0
    angle = angle_between(Axis(*need.fold).direction, need.grain)
    return min(angle, 180 - angle)


def things_of(
    cuts: Sequence[Cut],
    cloth: Cloth,
    spread: Spread,
    phases: Mapping[str, Phase],
    start: float = 0.0,
) -> list[Thing]:
    """The cuts as things that the search can lay.

    Args:
        cuts: What is cut from a stretch.
        cloth: What it is cut from.
        spread: How the stretch lies.
        phases: Of the pieces that match the check.
        start: Where the stretch begins on the cloth, mm.

    Raises:
        ClothError: A piece is wider than the cloth.
    """
    known: dict[tuple[str, object, bool, int], Thing] = {}
    made = []
    for cut in cuts:
        key = (cut.need.piece, cut.down, cut.on_fold, cut.layers)
        if key not in known:
            known[key] = _thing(cut, cloth, spread, phases.get(cut.need.piece), start)
        made.append(replace(known[key], tag=cut))
    return made


def _thing(cut: Cut, cloth: Cloth, spread: Spread, phase: Phase | None, start: float) -> Thing:
    ring = points_of(cut.ring)
    forms: list[Form] = []
    untied = False
    seen: list[Floats] = []
    bottom, top = cloth.room(spread)
    clear = FOLD_CLEAR if spread is Spread.FOLDED and not cut.on_fold else 0.0
    for turn in _turns(cut, cloth, free=phase is None):
        outline = moved(ring, turn)
        low = outline.min(axis=0)
        place = Affine.move(-low[0], 0.0 if cut.on_fold else -low[1])
        if cut.on_fold and low[1] < -1.0:
            continue  # it lies on the other side of its fold
        at = turn.then(place)
        outline = moved(ring, at)
        height = outline[:, 1].max() - (0 if cut.on_fold else outline[:, 1].min())
        if height > top - bottom - clear + 1e-6:
            continue
        ties = Ties(across=(0.0, 0.0) if cut.on_fold else None)
        if phase is not None:
            ties = tied(phase, at, cloth, spread, start, ties)
        elif any(_same(outline, other) for other in seen):
            continue
        seen.append(outline)
        form = Form(at, outline, cloth.gap, ties, clear)
        if _has_row(form, (bottom, top)):
            forms.append(form)
        untied = True
    if not forms and untied:
        raise ClothError(
            "where the check runs on across its seams, it does not go on the cloth",
            where=f"cloth {cloth.name}, {cut.need.place or 'piece ' + cut.need.piece}",
            remedy="Match the check along the cloth only, or take a wider cloth.",
        )
    if not forms:
        _refuse_wide(cut.need, cloth)
    return Thing(tuple(forms), abs(area_of(ring)), cut)


def _has_row(form: Form, room: tuple[float, float]) -> bool:
    """Whether what ties it across leaves it a place."""
    if form.ties.across is None or form.ties.across[1] == 0:
        return True
    first, step = form.ties.across
    least, most = room[0] + form.clear - form.low[1], room[1] - form.high[1]
    return first + math.ceil((least - first - _ROUNDING) / step) * step <= most + _ROUNDING


def _turns(cut: Cut, cloth: Cloth, *, free: bool) -> Iterator[Affine]:
    """Piece -> along the cloth, in all ways that it may lie, about any place.

    A piece that matches the check is not `free`: it lies straight, and one way up.
    """
    arounds = (0.0, 180.0) if free and not cloth.nap else (0.0,)
    if cut.on_fold:
        yield from _on_fold(cut, arounds)
        return
    straight = frame(cut.need.grain)
    faces = (False, True) if cut.down is None else (cut.down,)
    tilts = _TILTS if cloth.tilt and free else (0.0,)
    for share in tilts:
        for face in faces:
            for around in arounds:
                laid = straight.then(_FLIP if face else STILL).then(Affine.turn(around))
                yield laid.then(Affine.turn(share * cloth.tilt)) if share else laid


def _on_fold(cut: Cut, arounds: Sequence[float]) -> Iterator[Affine]:
    """Fold on y = 0; the piece lies above it in some of these."""
    home = to_fold(cut.need)
    for around in arounds:
        for flip in (STILL, _FLIP):
            yield home.then(flip).then(Affine.turn(around))


def to_fold(need: Need) -> Affine:
    """Piece coordinates -> its middle line on y = 0, the grain towards greater x, face up."""
    axis = middle_line(need.ring, need.grain) if need.fold is None else Axis(*need.fold)
    x, y = axis.direction
    if x * need.grain[0] + y * need.grain[1] < 0:
        x, y = -x, -y
    return Affine.move(-axis.start.x, -axis.start.y).then(frame((x, y)))


def _same(one: Floats, other: Floats) -> bool:
    """Whether two outlines are one, whichever point each begins with."""
    if one.shape != other.shape:
        return False
    a, b = (ring[np.lexsort((ring[:, 1].round(2), ring[:, 0].round(2)))] for ring in (one, other))
    return bool(np.abs(a - b).max() < 0.02)


def too_wide(need: Need, cloth: Cloth) -> float:
    """Millimetres across the grain by which a piece, laid once, is wider than the cloth's room."""
    ring = moved(points_of(whole_ring(need)), frame(need.grain))
    bottom, top = cloth.room(Spread.SINGLE)
    widths = [float(np.ptp(moved(ring, Affine.turn(share * cloth.tilt))[:, 1])) for share in _TILTS]
    return min(widths) - (top - bottom)


def _refuse_wide(need: Need, cloth: Cloth) -> None:
    bottom, top = cloth.room(Spread.SINGLE)
    over = too_wide(need, cloth)
    raise ClothError(
        f"it is {math.ceil(top - bottom + over)} mm wide across its grain, and the cloth has "
        f"{math.floor(top - bottom + _ROUNDING)} mm between its selvedges",
        where=f"cloth {cloth.name}, {need.place or 'piece ' + need.piece}",
        remedy="Take a wider cloth; allow a tilt off the grain, if little is missing; or draw a "
        "seam in the piece.",
    )
