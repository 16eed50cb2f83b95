"""Whether a lay plan is right, worked out anew from the needs: shares no code with the laying."""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence

import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from tiler.layout.cloth.model import Cloth, Laid, LayPlan, Match, Need, Part, Spread
from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Finding, Lay, Severity

#: What rounding may do, mm.
_ROUNDING = 1e-3
#: Nearer to the fold than this (mm) an edge looks as if it were to lie on it.
_OFF_FOLD = 5.0
#: An outline may differ from its piece by this much, mm: what opening and halving round.
_SHAPE = 0.02
#: A half of a piece that is its own mirror image within 1 mm.
_MIRROR = 1.2
#: Degrees between a piece's fold and its grain that nobody sees.
_ALONG = 0.5
#: Two points of a match may be so far apart in the check, mm: less than a thread or two show.
_PHASE = 0.5 + _ROUNDING


def faults_of(
    plan: LayPlan, needs: Sequence[Need], matches: Sequence[Match] = ()
) -> tuple[Finding, ...]:
    """All that is wrong with a lay plan.

    Args:
        plan: As it was laid.
        needs: What had to be cut.
        matches: Where the check has to run on across a seam.

    Returns:
        ERRORs: what is not whole, not on grain, upside down, outside, overlapping, cut too often or
        too rarely or with the wrong face, off the fold, or off the check; none for a good plan.
    """
    known = {need.piece: need for need in needs}
    return (
        *_shapes(plan, known),
        *_lies(plan, known),
        *_parts(plan),
        *_apart(plan),
        *_counts(plan, needs),
        *_sums(plan),
        *_checks(plan, known, matches),
    )


def _fault(code: str, plan: LayPlan, laid: Laid | None, text: str) -> Finding:
    where = f"cloth {plan.cloth.name}"
    if laid is not None:
        where += f", piece {laid.piece}, cut {laid.copy}"
    return Finding(code, Severity.ERROR, where, text)


def _all(plan: LayPlan) -> Iterator[tuple[Part, Laid]]:
    for part in plan.parts:
        for laid in part.laid:
            yield part, laid


def _there(shape: BaseGeometry, at: Affine) -> BaseGeometry:
    return affinity.affine_transform(shape, [at.a, at.c, at.b, at.d, at.e, at.f])


def _mirrored(shape: BaseGeometry, fold: tuple[Point, Point]) -> BaseGeometry:
    """The mirror image about the line through two points."""
    angle = math.degrees(math.atan2(fold[1].y - fold[0].y, fold[1].x - fold[0].x))
    level = affinity.rotate(shape, -angle, origin=(fold[0].x, fold[0].y))
    over = affinity.scale(level, 1, -1, origin=(fold[0].x, fold[0].y))
    return affinity.rotate(over, angle, origin=(fold[0].x, fold[0].y))


def _shapes(plan: LayPlan, needs: Mapping[str, Need]) -> Iterator[Finding]:
    """What is cut is the piece, in its own size."""
    for _, laid in _all(plan):
        need = needs.get(laid.piece)
        if need is None:
            yield _fault("lay-unknown", plan, laid, "Nobody needs this piece.")
            continue
        at = laid.at
        rigid = (
            abs(at.a * at.a + at.b * at.b - 1) < 1e-9
            and abs(at.c * at.c + at.d * at.d - 1) < 1e-9
            and abs(at.a * at.c + at.b * at.d) < 1e-9
        )
        if not rigid:
            yield _fault("lay-size", plan, laid, "It is not laid in its own size.")
        if (at.determinant < 0) != laid.mirrored:
            yield _fault("lay-face", plan, laid, "It lies on the other face than is said.")
        cut = shapely.Polygon(laid.outline)
        if not cut.is_valid:
            yield _fault("lay-shape", plan, laid, "Its outline crosses itself.")
            continue
        asked, spare = _asked(need, laid), _SHAPE
        if laid.halved:
            spare = _MIRROR
        off = shapely.hausdorff_distance(
            shapely.segmentize(asked.exterior, 2.0), shapely.segmentize(cut.exterior, 2.0)
        )
        if off > spare:
            yield _fault("lay-shape", plan, laid, f"What is cut is {off:.2f} mm off the piece.")


def _asked(need: Need, laid: Laid) -> shapely.Polygon:
    """What has to be cut, on the cloth."""
    body: BaseGeometry = shapely.Polygon(need.ring)
    if laid.opened and need.fold is not None:
        seam = shapely.LineString(need.fold).buffer(0.005, cap_style="flat")
        body = shapely.union_all([body, _mirrored(body, need.fold), seam])
    there = _there(body, laid.at)
    if laid.halved:
        left, _, right, high = there.bounds
        there = shapely.intersection(there, shapely.box(left - 1, 0, right + 1, high + 1))
    parts = [p for p in getattr(there, "geoms", [there]) if isinstance(p, shapely.Polygon)]
    return max(parts, key=lambda part: part.area, default=shapely.Polygon())


def _lies(plan: LayPlan, needs: Mapping[str, Need]) -> Iterator[Finding]:
    """Grain, nap and fold."""
    cloth = plan.cloth
    ways = set()
    for part, laid in _all(plan):
        need = needs.get(laid.piece)
        if need is None:
            continue
        x, y = need.grain
        along = laid.at.a * x + laid.at.c * y
        across = laid.at.b * x + laid.at.d * y
        ways.add(along > 0)
        off = math.degrees(math.atan2(abs(across), abs(along)))
        allowed = cloth.tilt + (max(0.0, _ALONG - cloth.tilt) if laid.on_fold else 0.0)
        if off > allowed + 1e-6:
            yield _fault("lay-grain", plan, laid, f"It lies {off:.2f}° off the grain.")
        yield from _fold(plan, part, laid, need)
    if cloth.nap and len(ways) > 1:
        yield _fault("lay-nap", plan, None, "Pieces lie both ways up on cloth with a nap.")


def _fold(plan: LayPlan, part: Part, laid: Laid, need: Need) -> Iterator[Finding]:
    if laid.on_fold and part.spread is not Spread.FOLDED:
        yield _fault("lay-fold", plan, laid, "It is on the fold, but the cloth is not folded.")
    if need.fold is not None and laid.on_fold == laid.opened:
        yield _fault("lay-fold", plan, laid, "It is a half, neither on the fold nor opened.")
    if need.fold is None and laid.opened:
        yield _fault("lay-fold", plan, laid, "It is opened, but it is drawn whole.")
    if laid.halved != (laid.on_fold and need.fold is None):
        yield _fault("lay-fold", plan, laid, "Only a piece drawn whole is halved on the fold.")
    if laid.on_fold and need.fold is not None:
        off = max(abs(laid.at(end).y) for end in need.fold)
        if off > _ROUNDING:
            yield _fault("lay-fold", plan, laid, f"Its fold is {off:.2f} mm off the cloth's.")
    if laid.halved:
        whole = _there(shapely.Polygon(need.ring), laid.at)
        over = affinity.scale(whole, 1, -1, origin=(0, 0))
        off = shapely.hausdorff_distance(
            shapely.segmentize(shapely.boundary(whole), 2.0),
            shapely.segmentize(shapely.boundary(over), 2.0),
        )
        if not need.symmetric or off > _MIRROR:
            yield _fault("lay-fold", plan, laid, "Its halves are not alike about the fold.")


def _parts(plan: LayPlan) -> Iterator[Finding]:
    """Inside of the cloth, each stretch after the other."""
    cloth, reached = plan.cloth, 0.0
    for part in plan.parts:
        if part.start < reached - _ROUNDING:
            yield _fault("lay-parts", plan, None, "Two stretches of the cloth lie on each other.")
        reached = part.end
        if part.spread is Spread.FOLDED and cloth.spread is not Spread.FOLDED:
            yield _fault("lay-parts", plan, None, "A stretch is folded, but the cloth is single.")
        bottom, top = _room(cloth, part.spread)
        for laid in part.laid:
            left, low, right, high = shapely.Polygon(laid.outline).bounds
            over = max(bottom - low, high - top, part.start - left, right - part.end)
            if over > _ROUNDING:
                yield _fault("lay-outside", plan, laid, f"It reaches {over:.2f} mm over the edge.")
            if part.spread is Spread.FOLDED and not laid.on_fold and low < _OFF_FOLD - _ROUNDING:
                yield _fault(
                    "lay-near-fold",
                    plan,
                    laid,
                    f"It lies {low:.2f} mm from the fold, and not on it.",
                )
            layers = 1 if part.spread is Spread.SINGLE or laid.on_fold else 2
            if laid.layers != layers:
                yield _fault("lay-layers", plan, laid, f"{layers} layers are cut there.")
    if reached > plan.length + _ROUNDING:
        yield _fault("lay-length", plan, None, "The pieces reach beyond the length.")


def _room(cloth: Cloth, spread: Spread) -> tuple[float, float]:
    across = cloth.width * (1 - cloth.shrinkage[1])
    if spread is Spread.FOLDED:
        return 0.0, across / 2 - cloth.selvedge
    return cloth.selvedge, across - cloth.selvedge


def _apart(plan: LayPlan) -> Iterator[Finding]:
    """No two pieces share cloth, or lie nearer than the gap."""
    everything = [laid for _, laid in _all(plan)]
    bodies = [shapely.Polygon(laid.outline) for laid in everything]
    gap = plan.cloth.gap
    tree = shapely.STRtree(bodies)
    for one, body in enumerate(bodies):
        for other in sorted(int(k) for k in tree.query(body.buffer(gap + 1))):
            if other <= one or not (body.is_valid and bodies[other].is_valid):
                continue
            shared = shapely.intersection(body, bodies[other]).area
            if shared > 0.01:
                yield _fault(
                    "lay-overlap",
                    plan,
                    everything[one],
                    f"It shares {shared:.1f} mm² with {everything[other].piece}, cut "
                    f"{everything[other].copy}.",
                )
                continue
            apart = shapely.distance(body, bodies[other])
            if apart < gap - _ROUNDING:
                yield _fault(
                    "lay-gap",
                    plan,
                    everything[one],
                    f"It is {apart:.2f} mm from {everything[other].piece}, cut "
                    f"{everything[other].copy}.",
                )


def _counts(plan: LayPlan, needs: Sequence[Need]) -> Iterator[Finding]:
    """Every piece as often as it is needed, with the faces that it needs."""
    faces: dict[str, Counter[str]] = defaultdict(Counter)
    for _, laid in _all(plan):
        mine = faces[laid.piece]
        if laid.layers == 2:
            mine["up"] += 1
            mine["down"] += 1
        else:
            mine["down" if laid.mirrored and not laid.on_fold else "up"] += 1
    for name in dict.fromkeys(need.piece for need in needs):
        own = [need for need in needs if need.piece == name]
        up, down = faces[name]["up"], faces[name]["down"]
        asked, pairs = (
            sum(need.count for need in own if kind is None or need.lay is kind)
            for kind in (None, Lay.PAIR)
        )
        where = f"cloth {plan.cloth.name}, piece {name}"
        if up + down != asked:
            text = f"It is cut {up + down} times; {asked} are needed."
            yield Finding("lay-count", Severity.ERROR, where, text)
        first = own[0]
        alike = first.symmetric or first.fold is not None or (first.even and not plan.cloth.nap)
        lone = asked - pairs
        right = down <= up + lone and up <= down + lone if alike else down * 2 == pairs
        if not right:
            text = f"{up} are cut face up and {down} face down; {pairs // 2} have to lie face down."
            yield Finding("lay-faces", Severity.ERROR, where, text)


def _sums(plan: LayPlan) -> Iterator[Finding]:
    """The share of the cloth that becomes pieces."""
    used = sum(
        shapely.Polygon(laid.outline).area * (2 if laid.on_fold else laid.layers)
        for _, laid in _all(plan)
    )
    area = plan.length * plan.cloth.width * (1 - plan.cloth.shrinkage[1])
    if area <= 0 or abs(used / area - plan.utilisation) > 1e-6:
        yield _fault("lay-sums", plan, None, "The utilisation is not that of the pieces.")


def _checks(
    plan: LayPlan, needs: Mapping[str, Need], matches: Sequence[Match]
) -> Iterator[Finding]:
    """Matched points see the same place of the check."""
    if not any(plan.cloth.repeat):
        return
    laid: dict[str, list[tuple[Part, Laid]]] = defaultdict(list)
    for part, each in _all(plan):
        laid[each.piece].append((part, each))
    for match in matches:
        if match.first not in needs or match.second not in needs:
            continue
        for part, one in laid[match.first]:
            for its, other in laid[match.second]:
                ends = (part, one, match.at), (its, other, match.to)
                off = _off_check(plan.cloth, *ends)
                if off > _PHASE:
                    yield _fault(
                        "lay-check",
                        plan,
                        one,
                        f"The check is {off:.1f} mm off where it meets {other.piece}, cut "
                        f"{other.copy}.",
                    )


def _off_check(
    cloth: Cloth, one: tuple[Part, Laid, Point], other: tuple[Part, Laid, Point]
) -> float:
    """How far two points are from the same place of the check, mm.

    Across, the check counts from the middle of the cloth, and the other way where a piece lies face
    down; a piece on the fold has both sides.
    """
    (part, laid, point), (its_part, its, its_point) = one, other
    here, there = laid.at(point), its.at(its_point)
    along = _apart_in(here.x - there.x, cloth.repeat[0])
    middle = cloth.width * (1 - cloth.shrinkage[1]) / 2
    y, v = (
        (p.y - (middle if where.spread is Spread.SINGLE else 0.0)) * (-1 if each.mirrored else 1)
        for p, where, each in ((here, part, laid), (there, its_part, its))
    )
    across = _apart_in(y - v, cloth.repeat[1])
    if laid.on_fold or its.on_fold:
        across = min(across, _apart_in(y + v, cloth.repeat[1]))
    return max(along, across)


def _apart_in(difference: float, repeat: float) -> float:
    if not repeat:
        return 0.0
    rest = math.fmod(abs(difference), repeat)
    return min(rest, repeat - rest)
