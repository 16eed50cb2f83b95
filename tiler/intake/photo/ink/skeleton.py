"""Ink -> its topology: lines one pixel wide, cut at crossings, without the spurs of thinning."""

from __future__ import annotations

from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.ink.sheet import Mask
from tiler.intake.photo.model import Points

Pixel = tuple[int, int]


@dataclass(eq=False)
class Branch:
    """A line of the skeleton.

    Args:
        points: Column and row of its pixels, from one node's to the other's.
        start: Index of the node; None for a ring.
        end: Likewise.
    """

    points: Points
    start: int | None
    end: int | None

    @property
    def length(self) -> float:
        """Along it, pixels."""
        step = np.diff(self.points, axis=0)
        return float(np.hypot(step[:, 0], step[:, 1]).sum())


@dataclass(eq=False)
class Net:
    """Branches and where they meet.

    Args:
        nodes: Column and row of each, by its index.
        branches: Between them.
        half: Distance from ink's pixels to its edge, pixels.
    """

    nodes: dict[int, NDArray[np.float64]]
    branches: list[Branch]
    half: NDArray[np.float32] = field(repr=False)

    def at(self, node: int) -> list[tuple[Branch, bool]]:
        """The branches at a node, and whether each begins there; one that returns stands twice."""
        found = []
        for branch in self.branches:
            if branch.start == node:
                found.append((branch, True))
            if branch.end == node:
                found.append((branch, False))
        return found

    def degrees(self) -> dict[int, int]:
        """How many ends of branches each node has."""
        count = dict.fromkeys(self.nodes, 0)
        for branch in self.branches:
            for node in (branch.start, branch.end):
                if node is not None:
                    count[node] += 1
        return count

    def width_at(self, node: int) -> float:
        """Of the ink there, pixels."""
        c, r = self.nodes[node].round().astype(int)
        part = self.half[max(0, r - 1) : r + 2, max(0, c - 1) : c + 2]
        return 2 * float(part.max()) if part.size else 0.0

    def width_of(self, branch: Branch) -> float:
        """Of the ink along a branch, pixels."""
        c, r = branch.points.round().astype(int).T
        return 2 * float(np.median(self.half[r, c]))


def net_of(mask: Mask) -> Net:
    """The skeleton of a mask as branches and nodes."""
    from skimage.morphology import skeletonize

    down, right = np.nonzero(mask)
    half = np.zeros(mask.shape, np.float32)
    net = Net({}, [], half)
    if not len(down):
        return net
    r0, r1, c0, c1 = down.min(), down.max() + 1, right.min(), right.max() + 1
    part = np.pad(mask[r0:r1, c0:c1], 1)
    half[r0:r1, c0:c1] = cv2.distanceTransform(part.astype(np.uint8), cv2.DIST_L2, 5)[1:-1, 1:-1]
    thinned: Mask = skeletonize(part[1:-1, 1:-1])  # type: ignore[no-untyped-call]
    thin = np.pad(thinned, 1)
    _trace(thin, net, (int(c0) - 1, int(r0) - 1))
    _tidy(net)
    return net


def _trace(thin: Mask, net: Net, shift: Pixel) -> None:
    """Walk along the pixels; pixels with three or more neighbours are nodes."""
    count = cv2.filter2D(
        thin.astype(np.uint8), -1, np.ones((3, 3), np.float32), borderType=cv2.BORDER_CONSTANT
    )
    down, right = np.nonzero(thin)
    links = {
        (r, c): n
        for r, c, n in zip(
            down.tolist(), right.tolist(), (count[down, right].astype(int) - 1).tolist(),
            strict=True,
        )
    }  # fmt: skip
    crowded = np.zeros(thin.shape, np.uint8)
    crowded[down, right] = (count[down, right] - 1 >= 3) & (count[down, right] > 0)
    clusters, labels = cv2.connectedComponents(crowded, connectivity=8)
    node_of: dict[Pixel, int] = {}
    for r, c in zip(*(a.tolist() for a in np.nonzero(crowded)), strict=True):
        node_of[r, c] = int(labels[r, c]) - 1
    for node in range(clusters - 1):
        net.nodes[node] = np.zeros(2)
    total: dict[int, list[Pixel]] = {}
    for pixel, node in node_of.items():
        total.setdefault(node, []).append(pixel)
    offset = np.array(shift, np.float64)
    for node, pixels in total.items():
        net.nodes[node] = np.array(pixels, np.float64).mean(axis=0)[::-1] + offset
    for pixel, n in links.items():
        if n <= 1:
            node_of[pixel] = len(net.nodes)
            net.nodes[node_of[pixel]] = np.array(pixel[::-1], np.float64) + offset
    done: set[Pixel] = set()

    def walk(before: Pixel, here: Pixel) -> list[Pixel]:
        way = [before, here]
        while here not in node_of:
            done.add(here)
            ahead = [p for p in _around(here, links) if p != before and p not in done]
            final = [p for p in ahead if p in node_of and not (p == way[0] and len(way) < 4)]
            following = final or [p for p in ahead if p not in node_of]
            if not following:
                break
            before, here = here, min(following, key=lambda p: _far(p, way[-1]))
            way.append(here)
        return way

    def keep(way: list[Pixel], start: int | None, end: int | None) -> None:
        points = np.array(way, np.float64)[:, ::-1] + offset
        net.branches.append(Branch(points, start, end))

    for pixel, node in list(node_of.items()):
        for first in _around(pixel, links):
            if first in node_of:
                other = node_of[first]
                if other > node:
                    keep([pixel, first], node, other)
            elif first not in done:
                way = walk(pixel, first)
                if way[-1] in node_of:
                    keep(way, node, node_of[way[-1]])
    for pixel in links:
        if pixel not in node_of and pixel not in done:
            done.add(pixel)
            ahead = _around(pixel, links)
            way = [pixel, *(walk(pixel, ahead[0])[1:] if ahead else [])]
            if len(way) > 5:
                keep(way, None, None)


def _around(pixel: Pixel, links: dict[Pixel, int]) -> list[Pixel]:
    r, c = pixel
    return [
        (r + i, c + j)
        for i, j in ((-1, 0), (1, 0), (0, -1), (0, 1), (-1, -1), (-1, 1), (1, -1), (1, 1))
        if (r + i, c + j) in links
    ]


def _far(a: Pixel, b: Pixel) -> int:
    return abs(a[0] - b[0]) + abs(a[1] - b[1])


def _tidy(net: Net) -> None:
    """Take out spurs, draw nodes of one crossing together, join what only passes through."""
    _join(net)
    for _ in range(3):
        changed = _prune(net)
        changed |= _contract(net)
        _join(net)
        if not changed:
            break


def _prune(net: Net) -> bool:
    degrees = net.degrees()
    gone = set()
    for branch in net.branches:
        if branch.start is None or branch.end is None or branch.start == branch.end:
            continue
        ends = degrees[branch.start], degrees[branch.end]
        if min(ends) != 1 or max(ends) < 3:
            continue
        inner = branch.start if ends[0] >= 3 else branch.end
        others = [net.width_of(other) for other, _ in net.at(inner) if other is not branch]
        if branch.length < 0.5 * max(others, default=0) + 1:
            gone.add(id(branch))
    # When all branches of a node are short, it is a cross or a letter and not a node with spurs.
    for node, count in degrees.items():
        own = [branch for branch, _ in net.at(node)] if count >= 3 else []
        if own and all(id(branch) in gone for branch in own):
            gone -= {id(branch) for branch in own}
    net.branches = [branch for branch in net.branches if id(branch) not in gone]
    _forget(net)
    return bool(gone)


def _contract(net: Net) -> bool:
    """Nodes nearer than about the line's width are one."""
    changed = False
    again = True
    while again:
        again = False
        degrees = net.degrees()
        for branch in sorted(net.branches, key=lambda b: b.length):
            a, b = branch.start, branch.end
            if a is None or b is None or degrees[a] < 3 or degrees[b] < 3:
                continue
            near = 1.0 * max(net.width_at(a), net.width_at(b)) + 1
            if branch.length > (3.2 * near if a == b else near):
                continue
            net.branches.remove(branch)
            if a != b:
                middle = (net.nodes[a] + net.nodes[b]) / 2
                for other in net.branches:
                    other.start = a if other.start == b else other.start
                    other.end = a if other.end == b else other.end
                net.nodes[a] = middle
                del net.nodes[b]
            changed = again = True
            break
    return changed


def _join(net: Net) -> None:
    """A node with two ends of branches is none."""
    ends: dict[int, list[Branch]] = {}
    for branch in net.branches:
        for node in (branch.start, branch.end):
            if node is not None:
                ends.setdefault(node, []).append(branch)
    for node in list(net.nodes):
        own = ends.get(node, [])
        if len(own) != 2:
            continue
        one, two = own
        if one is two:
            one.start = one.end = None
        else:
            first = one.points if one.end == node else one.points[::-1]
            second = two.points if two.start == node else two.points[::-1]
            start = one.start if one.end == node else one.end
            end = two.end if two.start == node else two.start
            one.points, one.start, one.end = np.concatenate((first, second)), start, end
            net.branches.remove(two)
            if end is not None:
                ends[end] = [one if b is two else b for b in ends[end]]
        del net.nodes[node]
    _forget(net)


def _forget(net: Net) -> None:
    used = {n for branch in net.branches for n in (branch.start, branch.end)}
    net.nodes = {node: place for node, place in net.nodes.items() if node in used}
