"""The flattened table -> the centre lines of all ink on the paper, and where they meet."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tiler.intake.photo.ink.abreast import abreast_parted, touching_parted
from tiler.intake.photo.ink.apex import apexes_of
from tiler.intake.photo.ink.bounds import whole_ink
from tiler.intake.photo.ink.dashes import renumbered
from tiler.intake.photo.ink.dots import dots_of
from tiler.intake.photo.ink.ends import drawings_of
from tiler.intake.photo.ink.gaps import without_gaps
from tiler.intake.photo.ink.ink import ink_of
from tiler.intake.photo.ink.joints import crossings_joined, nodes_placed
from tiler.intake.photo.ink.light import Light, coarse_of, light_of
from tiler.intake.photo.ink.lines import Line, drawn, line_of
from tiler.intake.photo.ink.paper import paper_of
from tiler.intake.photo.ink.print import heads_of, unevenness_of
from tiler.intake.photo.ink.sheet import Sheet, sheet_of
from tiler.intake.photo.ink.skeleton import Net, net_of
from tiler.intake.photo.model import Flattened, Numbers, Photo, Points, Solved, Strand, Web
from tiler.intake.photo.problem import CaptureError, Doubts

#: Drawings smaller than this are specks or letters, millimetres, unless they look like a mark for
#: a drill hole: a ring, or strokes that cross.
_SMALL, _MARK = 8.0, 3.5
#: Ink less dark than this on average is hardly to be seen.
_FAINT = 0.1


def web_of(flattened: Flattened, solved: Solved, photos: tuple[Photo, ...], doubts: Doubts) -> Web:
    """Measure the centre lines of all ink.

    Args:
        flattened: The table from straight above.
        solved: Where the cards lie; they are no ink.
        photos: Not looked at again; for the count of them in messages.
        doubts: Where closed gaps are told.

    Raises:
        CaptureError: There is no ink, a line is cut off by the photo's edge or a card, or an
            outline has a gap that is too long to be closed.
    """
    sheet = sheet_of(flattened, solved)
    coarse, known = coarse_of(sheet)
    paper = paper_of(sheet, coarse, known)
    light = light_of(sheet, coarse, paper)
    ink = ink_of(sheet, light, paper)
    if ink.contrast < _FAINT:
        raise CaptureError(
            f"no ink lines are seen on the paper in the {'photos' if len(photos) > 1 else 'photo'}",
            remedy="Trace with a dark marker 3 to 5 mm wide, see that the light is even and "
            "without glare, and photograph again with all of the lines and all of the cards in the "
            "picture.",
            code="no-ink",
        )
    ink = whole_ink(ink, sheet, flattened, solved, photos, doubts)
    dots, rest = dots_of(ink.mask, sheet, flattened, light)
    net = net_of(rest)
    web = _measured(net, sheet, flattened, light)
    web = without_gaps(web, doubts)
    web = _without_specks(web)
    if not web.strands:
        raise CaptureError(
            "no ink lines are seen on the paper, only specks",
            remedy="Trace with a dark marker 3 to 5 mm wide and photograph again.",
            code="no-ink",
        )
    return Web(web.nodes, (*web.strands, *dots))


def _measured(net: Net, sheet: Sheet, flattened: Flattened, light: Light) -> Web:
    apexes = apexes_of(net)
    degrees = net.degrees()
    lines: list[Line] = []
    for branch in net.branches:
        guide = flattened.to_table(sheet.to_flattened(branch.points))
        if len(guide) < 2:
            continue
        width = max(net.width_of(branch) * sheet.pitch - 0.3, 0.6)
        loose = (
            branch.start is not None and degrees[branch.start] == 1,
            branch.end is not None and degrees[branch.end] == 1,
        )
        line = line_of(guide, (branch.start, branch.end), loose, width, light, flattened)
        if line is not None:
            lines.append(line)
    places = {
        node: flattened.to_table(sheet.to_flattened(place[None]))[0]
        for node, place in net.nodes.items()
    }
    bounds = crossings_joined(lines, places)
    abreast_parted(lines, places, light, flattened)
    touching_parted(lines, places, light, flattened)
    for node, apex in apexes.items():
        tip = flattened.to_table(sheet.to_flattened(apex[None]))[0]
        if node in places:
            bounds[node] = float(np.hypot(*(tip - places[node]))) / 2 + 3
            places[node] = tip
    nodes_placed(lines, places, bounds, light, flattened)
    numbers = {node: i for i, node in enumerate(places)}
    strands = [_strand(line, places, numbers, light, flattened) for line in lines]
    nodes = np.array(list(places.values())) if places else np.empty((0, 2))
    return renumbered(nodes, [s for s in strands if len(s.points) > 1])


def _strand(
    line: Line,
    places: dict[int, Numbers],
    numbers: dict[int, int],
    light: Light,
    flattened: Flattened,
) -> Strand:
    start = None if line.start is None else places[line.start]
    end = None if line.end is None else places[line.end]
    points: Points = drawn(line, start, end)
    return Strand(
        points,
        None if line.start is None else numbers[line.start],
        None if line.end is None else numbers[line.end],
        line.course.width,
        line.colour,
        line.unsure,
        heads=heads_of(line.course),
        uneven=unevenness_of(line.course, light, flattened),
    )


def _without_specks(web: Web) -> Web:
    group = drawings_of(web)
    kept: list[Strand] = []
    for g in dict.fromkeys(group):
        own = [s for s, h in zip(web.strands, group, strict=True) if h == g]
        every = np.concatenate([s.points for s in own])
        size = float(np.hypot(*(every.max(axis=0) - every.min(axis=0))))
        crossing = len(own) >= 4 and len({n for s in own for n in (s.start, s.end)}) == 5
        if size + own[0].width >= _SMALL or (size >= _MARK and (own[0].ring or crossing)):
            kept.extend(replace(s) for s in own)
    return renumbered(web.nodes, kept)
