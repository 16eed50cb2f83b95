"""Lines that go round nothing: ticks on an outline, grainlines, fold brackets, marks, writing."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from tiler.intake.photo.lines.crossings import angle_between, heading, passes, unit
from tiler.intake.photo.lines.faces import components
from tiler.intake.photo.lines.net import Net, extent_of, length_of
from tiler.intake.photo.lines.shapes import SMALL, Bracket, bracket_of, centre_of, cross_at, dot_at
from tiler.intake.photo.lines.trees import Tree, arrowhead, is_straight, size, tree_of, wildness
from tiler.intake.photo.model import Kind, Numbers, Points

#: A tick stands across the outline at this angle or more, degrees.
_ACROSS = 45.0
#: Feet this near (millimetres) along the outline are of one tick that goes across it.
_ONE_TICK = 5.0
#: Two ends of a tick that goes across lie opposite within this, degrees.
_OPPOSITE = 35.0
#: An outline drawn past its corner goes on by no more than this (millimetres, degrees).
_PAST, _PAST_TURN = 15.0, 30.0
#: Ink nearer than this (millimetres) to a line is a bump of it.
_BUMP = 2.5
#: The shortest grainline, millimetres.
_GRAIN = 30.0
#: Letters: largest, and how far apart (millimetres).
_LETTER, _LETTERS_APART = 80.0, 16.0
#: A line up to so large (millimetres) that turns by more (degrees) is writing.
_WORD, _WILD = 160.0, 540.0
#: Darkness that changes along a line more than this is that of letters; they are as high as this
#: (millimetres), so that a faint pencil line is none.
_UNEVEN, _LETTER_HIGH = 0.1, 1.4
#: The tip of a filled arrowhead is the end of its line within this, millimetres.
_SAME_END = 3.0
#: The largest dot that a marker makes, millimetres along its centre line.
_DOT = 4.0


@dataclass(frozen=True, eq=False)
class Mark:
    """A line with its meaning.

    Args:
        kind: What it is.
        points: Along it.
        closed: Whether it goes round.
        corners: Indices of its corners.
        foot: Where it stands on an outline; None when it touches none.
        unsure: Standard uncertainty across itself, millimetres.
        bridged: Middle points of closed gaps.
    """

    kind: Kind
    points: Points
    closed: bool = False
    corners: tuple[int, ...] = ()
    foot: Numbers | None = None
    unsure: float = 0.05
    bridged: Points | None = None


@dataclass(eq=False)
class Loose:
    """What loose lines are.

    Args:
        marks: Told apart.
        brackets: Of folds, and the line as drawn.
        writing: Points of what was left out as writing.
    """

    marks: list[Mark]
    brackets: list[tuple[Bracket, Points]]
    writing: list[Points]


def loose_marks(
    whole: Net, keys: Collection[int], core: Collection[int], taken: Sequence[tuple[Numbers, float]]
) -> Loose:
    """Tell loose lines apart.

    Args:
        whole: Net with all arcs.
        keys: The loose ones.
        core: Arcs of areas.
        taken: Tips and feet of darts and brackets that were taken out; short lines within so
            many millimetres of them are part of them.
    """
    part = _uncrossed(whole.only(keys))
    nodes = {n for key in core for n in (whole.arcs[key].start, whole.arcs[key].end)}
    found = Loose([], [], [])
    standing: list[Tree] = []
    free: list[Tree] = []
    for group in components(part, nodes):
        tree = tree_of(part, group, nodes)
        (standing if tree.feet else free).append(tree)
    _stand(whole, part, core, standing, taken, found)
    _lie_free(part, free, found)
    return found


def _uncrossed(part: Net) -> Net:
    """Lines that cross one another smoothly taken apart; small crosses stay what they are."""
    places = [node for node in part.leaving if passes(part, node) is not None]
    if not places:
        return part
    large = {
        key
        for group in components(part)
        if extent_of(np.vstack([part.arcs[k].points for k in group])) > 2 * SMALL
        for key in group
    }
    nodes, arcs = list(part.nodes), dict(part.arcs)
    for node in places:
        crossing = passes(part, node)
        if crossing is None or crossing[0][0][0] not in large:
            continue
        nodes.append(part.nodes[node])
        for key, forward in crossing[1]:
            arc, here = arcs[key], len(nodes) - 1
            arcs[key] = replace(arc, start=here) if forward else replace(arc, end=here)
    return Net(np.array(nodes), arcs)


def _unsure(net: Net, tree: Tree) -> tuple[float, Points]:
    arcs = [net.arcs[key] for key in tree.keys]
    return max(arc.unsure for arc in arcs), np.vstack([arc.bridged for arc in arcs])


def _mark(net: Net, tree: Tree, kind: Kind, points: Points, foot: Numbers | None) -> Mark:
    unsure, bridged = _unsure(net, tree)
    return Mark(kind, points, foot=foot, unsure=unsure, bridged=bridged)


def _stand(
    whole: Net,
    part: Net,
    core: Collection[int],
    trees: list[Tree],
    taken: Sequence[tuple[Numbers, float]],
    found: Loose,
) -> None:
    """What stands on a line of an area."""
    lines = whole.only(core)
    ticks: list[tuple[Tree, Points, Numbers]] = []
    for tree in trees:
        foot = whole.nodes[tree.feet[0]]
        points = tree.spine
        if np.hypot(*(points[-1] - foot)) < np.hypot(*(points[0] - foot)):
            points = points[::-1]
        here = [heading(lines.points(half)) for half in lines.leaving[tree.feet[0]]]
        near_tip = any(np.hypot(*(place - foot)) < within for place, within in taken)
        reach = float(np.hypot(*(tree.all_points - foot).T).max())
        if reach <= _BUMP or (near_tip and reach <= SMALL):
            continue
        out = heading(points)
        if len(tree.feet) > 1:
            found.marks.append(_mark(part, tree, Kind.INSIDE, points, foot))
            continue
        if reach <= _PAST and _past_corner(here, out):
            continue
        if reach <= SMALL and _across(here, out):
            ticks.append((tree, points, out))
            continue
        bracket = bracket_of(points)
        if bracket is not None:
            found.brackets.append((bracket, tree.all_points))
            continue
        found.marks.append(_mark(part, tree, Kind.INSIDE, points, foot))
        found.marks += [
            _mark(part, tree, Kind.INSIDE, rest, None)
            for rest in (*tree.rest, *(b.points for b in tree.barbs))
            if length_of(rest) > 6.0
        ]
    _pair(part, ticks, found)


def _past_corner(here: list[Numbers], out: Numbers) -> bool:
    """Whether a short line only goes on past a corner, or fills a sharp one."""
    if len(here) < 2:
        return False
    bends = [180 - angle_between(a, b) for n, a in enumerate(here) for b in here[n + 1 :]]
    if min(bends) < _PAST_TURN:
        return False
    goes_on = any(angle_between(-way, out) < _PAST_TURN - 5 for way in here)
    fills = angle_between(unit(-np.sum(here, axis=0)), out) < _PAST_TURN
    return goes_on or fills


def _across(here: list[Numbers], out: Numbers) -> bool:
    angles = [angle_between(way, out) for way in here]
    return all(_ACROSS <= angle <= 180 - _ACROSS for angle in angles)


def _pair(part: Net, ticks: list[tuple[Tree, Points, Numbers]], found: Loose) -> None:
    """Ticks as drawn; two that stand opposite one another are one."""
    left = list(ticks)
    while left:
        tree, points, out = left.pop(0)
        partner = next(
            (
                each
                for each in left
                if np.hypot(*(each[1][0] - points[0])) <= _ONE_TICK
                and 180 - angle_between(out, each[2]) <= _OPPOSITE
            ),
            None,
        )
        foot = points[0]
        if partner is not None:
            left.remove(partner)
            points = np.vstack([partner[1][:0:-1], points])
        found.marks.append(_mark(part, tree, Kind.NOTCH, points, foot))


def _lie_free(net: Net, trees: list[Tree], found: Loose) -> None:
    """What touches nothing."""
    undecided: list[Tree] = []
    for tree in trees:
        bracket = bracket_of(tree.spine)
        heads = arrowhead(tree, 0), arrowhead(tree, -1), _filled_head(net, tree)
        if any(heads) and length_of(tree.spine) >= _GRAIN and is_straight(tree.spine, 1.5, 0.01):
            low, high = sorted((tree.spine[0], tree.spine[-1]), key=lambda p: (p[1], p[0]))
            found.marks.append(_mark(net, tree, Kind.GRAIN, np.array([low, high]), None))
        elif bracket is not None:
            found.brackets.append((bracket, tree.all_points))
        else:
            undecided.append(tree)
    for cluster in _clusters(undecided):
        if len(cluster) >= 3 and not all(_drill(net, tree) for tree in cluster):
            found.writing.append(np.vstack([tree.all_points for tree in cluster]))
            continue
        for tree in cluster:
            drill = _drill(net, tree)
            if drill is not None:
                found.marks.append(drill)
            elif (
                size(tree) < _WORD and (wildness(tree.spine) > _WILD or _blurred_words(net, tree))
            ) or (size(tree) < _LETTER and len(tree.barbs) + len(tree.rest) >= 3):
                found.writing.append(tree.all_points)
            elif size(tree) >= _DOT:
                closed = _goes_round(net, tree)
                points = tree.spine[:-1] if closed else tree.spine
                unsure, bridged = _unsure(net, tree)
                found.marks.append(
                    Mark(Kind.INSIDE, points, closed, unsure=unsure, bridged=bridged)
                )
                found.marks += [
                    _mark(net, tree, Kind.INSIDE, rest, None)
                    for rest in (*tree.rest, *(b.points for b in tree.barbs))
                    if length_of(rest) > 6.0
                ]


def _filled_head(net: Net, tree: Tree) -> bool:
    """Whether the longest way ends in a printed arrowhead."""
    tips = np.vstack([net.arcs[key].tips for key in tree.keys])
    ends = tree.spine[[0, -1]]
    return bool((np.hypot(*(tips[:, None] - ends[None]).T) < _SAME_END).any())


def _blurred_words(net: Net, tree: Tree) -> bool:
    """Whether it is a row of letters that the photo does not tell apart."""
    arcs = [net.arcs[key] for key in tree.keys]
    lengths = [arc.length for arc in arcs]
    uneven, width = (
        float(np.average([getattr(arc, of) for arc in arcs], weights=lengths))
        for of in ("uneven", "width")
    )
    return uneven > _UNEVEN and width > _LETTER_HIGH


def _goes_round(net: Net, tree: Tree) -> bool:
    if len(tree.keys) != 1:
        return False
    arc = net.arcs[min(tree.keys)]
    return arc.start == arc.end


def _clusters(trees: list[Tree]) -> list[list[Tree]]:
    """Small things near one another, together; large ones each by itself."""
    small = [tree for tree in trees if size(tree) <= _LETTER]
    shapes = [
        shapely.LineString(tree.all_points)
        if len(tree.all_points) > 1
        else shapely.Point(tree.all_points[0])
        for tree in small
    ]
    groups: list[set[int]] = []
    for n, shape in enumerate(shapes):
        near = [g for g in groups if any(shape.distance(shapes[m]) <= _LETTERS_APART for m in g)]
        groups = [g for g in groups if g not in near]
        groups.append({n}.union(*near))
    return [
        *([tree] for tree in trees if size(tree) > _LETTER),
        *([small[n] for n in sorted(group)] for group in groups),
    ]


def _drill(net: Net, tree: Tree) -> Mark | None:
    """A small cross, ring or dot."""
    points = tree.all_points
    extent = extent_of(points)
    unsure, _ = _unsure(net, tree)
    if _goes_round(net, tree):
        if extent > SMALL * 1.42:
            return None
        return Mark(Kind.DRILL, tree.spine[:-1], True, unsure=unsure)
    if extent <= _DOT:
        return Mark(Kind.DRILL, dot_at(centre_of(points), 3.0), True, unsure=unsure)
    if extent > SMALL * 1.42:
        return None
    part = net.only(tree.keys)
    hubs = [node for node, halves in part.leaving.items() if len(halves) >= 3]
    ends = [node for node, halves in part.leaving.items() if len(halves) == 1]
    if len(ends) != 4 or not hubs or len(part.arcs) > 5:
        return None
    tips = part.nodes[ends]
    centre = part.nodes[hubs].mean(axis=0)
    ways = [unit(tip - centre) for tip in tips]
    partner = max(range(1, 4), key=lambda n: angle_between(ways[0], ways[n]))
    others = [n for n in range(1, 4) if n != partner]
    one, other = unit(tips[0] - tips[partner]), unit(tips[others[0]] - tips[others[1]])
    if not 45 <= angle_between(one, other) <= 135:
        return None
    strokes = [
        float(np.hypot(*(tips[0] - tips[partner]))),
        float(np.hypot(*(tips[others[0]] - tips[others[1]]))),
    ]
    line, corners = cross_at(centre, (one, other), sum(strokes) / 2)
    return Mark(Kind.DRILL, line, False, corners, unsure=unsure)
