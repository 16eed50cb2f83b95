"""Dashed lines: many short strands with closed gaps between them are one line."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tiler.intake.photo.ink.ends import length_of
from tiler.intake.photo.model import Points, Strand, Web

#: Dashes are no longer than this, and a dashed line has at least so many gaps.
_DASH, _DASHES = 20.0, 3


def undashed(web: Web) -> Web:
    """Dashes and the gaps between them become one strand, of which nothing is missing."""
    strands: list[Strand] = list(web.strands)
    ends: dict[int, list[int]] = {}
    for i, strand in enumerate(strands):
        for node in (strand.start, strand.end):
            if node is not None:
                ends.setdefault(node, []).append(i)
    passing = {n for n, own in ends.items() if len(own) == 2 and own[0] != own[1]}
    done: set[int] = set()
    out: list[Strand] = []
    for i in range(len(strands)):
        if i in done:
            continue
        chain = _chain(i, strands, ends, passing)
        done |= {k for k, _ in chain}
        gaps = sum(strands[k].bridged for k, _ in chain)
        dashes = [k for k, _ in chain if not strands[k].bridged]
        usual = np.median([length_of(strands[k].points) for k in dashes]) if dashes else 0
        if gaps < _DASHES or usual > _DASH:
            out.extend(strands[k] for k, _ in chain)
            continue
        ways = [strands[k].points if onward else strands[k].points[::-1] for k, onward in chain]
        way = np.concatenate([ways[0]] + [w[1:] for w in ways[1:]])
        (k0, on0), (k1, on1) = chain[0], chain[-1]
        start = strands[k0].start if on0 else strands[k0].end
        end = strands[k1].end if on1 else strands[k1].start
        like = strands[max(dashes, key=lambda k: len(strands[k].points))]
        unsure = max(strands[k].unsure for k in dashes)
        if start == end and start in passing:
            out.append(replace(like, points=way[:-1], start=None, end=None, unsure=unsure))
        else:
            out.append(replace(like, points=way, start=start, end=end, unsure=unsure))
    return renumbered(web.nodes, out)


def _chain(
    first: int, strands: list[Strand], ends: dict[int, list[int]], passing: set[int]
) -> list[tuple[int, bool]]:
    """Strands that follow one another without a crossing, and whether each is run forwards."""
    chain = [(first, True)]
    for forwards in (True, False):
        while True:
            k, onward = chain[-1] if forwards else chain[0]
            strand = strands[k]
            node = strand.end if onward == forwards else strand.start
            if node is None or node not in passing:
                break
            after = next(j for j in ends[node] if j != k)
            if any(after == j for j, _ in chain):
                return chain
            leads = strands[after].start == node
            chain.insert(len(chain) if forwards else 0, (after, leads == forwards))
    return chain


def renumbered(nodes: Points, strands: list[Strand]) -> Web:
    """A web without the nodes that no strand has."""
    used = sorted({n for s in strands for n in (s.start, s.end) if n is not None})
    new = {old: i for i, old in enumerate(used)}
    return Web(
        nodes[used] if used else np.empty((0, 2)),
        tuple(
            replace(
                s,
                start=None if s.start is None else new[s.start],
                end=None if s.end is None else new[s.end],
            )
            for s in strands
        ),
    )
