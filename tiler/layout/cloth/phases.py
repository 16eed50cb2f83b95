"""Check matching: where pieces may lie so that the check runs on across their seams.

The frame of a piece is its own coordinates, turned so that the grain runs along the cloth. Its
*phase* is where the frame's origin lies in the check, modulo the repeat; a copy that lies face down
has it mirrored across, as the check on the other side of a garment is.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tiler.layout.cloth.forms import Ties
from tiler.layout.cloth.model import Cloth, Match, Need, Spread
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import ClothError

#: Two seams that ask a piece for places this near to each other agree, millimetres.
AGREE = 0.5

#: Millimetres along and across.
Phase = tuple[float, float]


def phases_of(
    needs: Sequence[Need], matches: Sequence[Match], cloth: Cloth, on_fold: Mapping[str, float]
) -> dict[str, Phase]:
    """The phase of every piece that matches another.

    Args:
        needs: What is cut; matches of other pieces are left out.
        matches: What has to meet.
        cloth: With its repeat.
        on_fold: Pieces that lie on the fold -> the phase across that this gives them.

    Raises:
        ClothError: Seams ask a piece for different places, or the fold does.
    """
    grains = {need.piece: need.grain for need in needs}
    left = [m for m in matches if m.first in grains and m.second in grains]
    phases: dict[str, Phase] = {}
    if not any(cloth.repeat):
        return phases
    while left:
        group = _group(left)
        left = [match for match in left if match not in group]
        held = [name for name in _names(group) if name in on_fold]
        root = held[0] if held else group[0].first
        phases[root] = (0.0, on_fold.get(root, 0.0))
        waiting = list(group)
        while waiting:
            match = next(m for m in waiting if m.first in phases or m.second in phases)
            waiting.remove(match)
            _hang(match, grains, phases, cloth)
        for name in held:
            if _apart(phases[name][1] - on_fold[name], cloth.repeat[1]) > AGREE:
                raise ClothError(
                    f"{root} and {name} both lie on the fold, and so the check cannot run on "
                    "across their seam",
                    where=f"cloth {cloth.name}",
                    remedy="Lay the cloth single, or match the check along its length only.",
                )
    return phases


def _names(group: Sequence[Match]) -> list[str]:
    return list(dict.fromkeys(name for match in group for name in (match.first, match.second)))


def _group(matches: Sequence[Match]) -> list[Match]:
    """All matches that hang together with the first."""
    names = {matches[0].first, matches[0].second}
    while True:
        group = [m for m in matches if m.first in names or m.second in names]
        more = set(_names(group))
        if more == names:
            return group
        names = more


def _hang(
    match: Match, grains: Mapping[str, tuple[float, float]], phases: dict[str, Phase], cloth: Cloth
) -> None:
    """Give the piece without a phase the one that the other's asks for; or see that they agree."""
    ends = ((match.first, match.at), (match.second, match.to))
    (here, at), (there, to) = ends if match.first in phases else ends[::-1]
    a, b = frame(grains[here])(at), frame(grains[there])(to)
    x, y = phases[here]
    asked = (x + a.x - b.x, y + a.y - b.y)
    if there not in phases:
        phases[there] = asked
        return
    known = phases[there]
    off = max(_apart(asked[k] - known[k], cloth.repeat[k]) for k in (0, 1))
    if off > AGREE:
        raise ClothError(
            f"where the check runs on across the other seams of {here} and {there}, it is "
            f"{off:.0f} mm off across this one",
            where=f"cloth {cloth.name}" + (f", seam {match.seam}" if match.seam else ""),
            remedy="Match the check at fewer seams: those that show most, such as the sides.",
        )


def _apart(difference: float, repeat: float) -> float:
    """How far two places are apart in a check, mm; 0 where it has no repeat."""
    if not repeat:
        return 0.0
    return abs((difference + repeat / 2) % repeat - repeat / 2)


def frame(grain: tuple[float, float]) -> Affine:
    """Piece coordinates -> the same with the grain along x."""
    x, y = grain
    return Affine(x, -y, y, x)


def tied(phase: Phase, at: Affine, cloth: Cloth, spread: Spread, start: float, ties: Ties) -> Ties:
    """Where a form may lie so that its piece has its phase.

    Args:
        phase: Of the piece.
        at: Piece -> about the form's place: its frame, perhaps face down, and moved.
        cloth: With the repeat.
        spread: How the stretch lies.
        start: Where it begins on the cloth, mm.
        ties: What holds it already.
    """
    origin = at(Point(0.0, 0.0))
    along, across = ties.along, ties.across
    if cloth.repeat[0]:
        along = ((phase[0] - origin.x - start) % cloth.repeat[0], cloth.repeat[0])
    if cloth.repeat[1] and across is None:
        middle = cloth.across / 2 if spread is Spread.SINGLE else 0.0
        side = -1.0 if at.determinant < 0 else 1.0
        across = (side * phase[1] - origin.y + middle, cloth.repeat[1])
    return Ties(along, across)
