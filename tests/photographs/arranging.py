"""Scenes and cameras by chance: every seed another table."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import numpy as np
import shapely

from tests.photographs.blocks import (
    BLACK,
    COLOURS,
    Block,
    by_hand,
    demo_blocks,
    evenly,
    fitted,
    grain,
    inner_line,
    invented,
    notches,
    outline,
    with_gaps,
)
from tests.photographs.camera import Camera, turned
from tests.photographs.cardface import PRINTED, card_face
from tests.photographs.render import laid
from tests.photographs.scene import (
    Array,
    CardOnTable,
    Colour,
    Floor,
    Lift,
    MarkerLine,
    Scene,
    waves,
)

Nested = Literal["colour", "crossing"]

#: Paper: cream, white, brown; floors: wood, dark wood, stone, lino. Linear red, green, blue.
_PAPERS: tuple[Colour, ...] = ((0.80, 0.74, 0.58), (0.85, 0.86, 0.86), (0.50, 0.36, 0.22))
_FLOORS: tuple[tuple[str, Colour, float], ...] = (
    ("boards", (0.30, 0.17, 0.08), 125),
    ("boards", (0.12, 0.07, 0.04), 200),
    ("boards", (0.45, 0.33, 0.20), 100),
    ("tiles", (0.42, 0.38, 0.34), 250),
    ("tiles", (0.20, 0.21, 0.22), 500),
    ("plain", (0.18, 0.22, 0.20), 250),
)


def random_paper(chance: np.random.Generator) -> Array:
    """A sheet about 0, cut by eye: 500 x 400 to 900 x 600 mm."""
    share = chance.random()
    wide, high = 500 + 400 * share, 400 + 200 * np.clip(share + chance.normal(0, 0.2), 0, 1)
    box = np.array([(-wide, -high), (wide, -high), (wide, high), (-wide, high)]) / 2
    return np.asarray(box + chance.normal(0, 4, (4, 2)))


def random_cards(
    chance: np.random.Generator, paper: Array, ink: shapely.Geometry, count: int
) -> list[CardOnTable]:
    """Cards round the tracing, on floor and paper, clear of the ink and of one another."""
    taken: list[shapely.Polygon] = []
    cards: list[CardOnTable] = []
    numbers = chance.permutation(np.arange(1, PRINTED + 1))
    middle = paper.mean(axis=0)
    low, high = paper.min(axis=0), paper.max(axis=0)
    corners = [np.array([x, y]) for x in (low[0], high[0]) for y in (low[1], high[1])]
    order = [corners[i] for i in chance.permutation(4)]
    border = shapely.LinearRing(paper)
    while len(cards) < count:
        aim = order[len(cards)] if len(cards) < 4 else None
        for attempt in range(4000):
            if aim is None:
                spot = border.interpolate(chance.uniform(0, border.length))
                at = np.array([spot.x, spot.y])
            else:
                at = aim + chance.normal(0, 30 + attempt / 40, 2)
            outwards = (at - middle) / np.hypot(*(at - middle))
            at = at + outwards * chance.uniform(-90, 70 + attempt / 60)
            turn = chance.uniform(0, 360)
            if chance.random() < 0.6:
                turn = 90 * chance.integers(4) + chance.normal(0, 8)
            face = card_face(int(numbers[len(cards)]))
            card = CardOnTable(int(numbers[len(cards)]), 0.0, 0.0, float(turn))
            off = card.to_table(np.array([face.width / 2, face.height / 2]))
            card = replace(card, x=float(at[0] - off[0]), y=float(at[1] - off[1]))
            b, w, h = face.border + 1, face.width, face.height
            edge = np.array([(-b, -b), (w + b, -b), (w + b, h + b), (-b, h + b)])
            area = shapely.Polygon(card.to_table(edge))
            if area.distance(ink) > 12 and all(area.distance(other) > 4 for other in taken):
                taken.append(area)
                cards.append(card)
                break
        else:
            raise RuntimeError("no room for a card")
    return cards


def styles_of(
    block: Block, nested: Nested, chance: np.random.Generator, width: float
) -> list[MarkerLine]:
    """Two or three sizes of one block, within one another by colour, or crossing in one colour."""
    middle = (block.points.min(axis=0) + block.points.max(axis=0)) / 2
    lines = []
    if nested == "colour":
        colours = [COLOURS[i] for i in chance.permutation(len(COLOURS))]
        ring = shapely.Polygon(block.points)
        for number in range(int(chance.integers(2, 4))):
            inner = ring.buffer(-14.0 * number, join_style="mitre")
            if isinstance(inner, shapely.Polygon) and not inner.is_empty:
                points = evenly(np.array(inner.exterior.coords))[:-1]
                lines.append(MarkerLine(points, True, width, colours[number], style="ABC"[number]))
    else:
        for name, (x, y) in zip("AB", ((1.0, 0.86), (0.88, 1.0)), strict=True):
            matrix = np.diag([x, y])
            lines.append(outline(block.moved(matrix, middle - matrix @ middle), width, BLACK, name))
    return lines


def random_scene(
    seed: int,
    stress: bool = False,
    *,
    cards: int | None = None,
    gaps: tuple[float, ...] = (),
    nested: Nested | None = None,
    details: bool | None = None,
    peak_to_peak: float | None = None,
    lift: float | None = None,
    odd_scale: float = 1.0,
    small: bool = False,
) -> Scene:
    """A tracing on a floor.

    Args:
        seed: Of everything.
        stress: Paper with waves of 3 mm, and about half of the cards lifted by 1 mm.
        cards: How many; four to seven when not given.
        gaps: Millimetres of outline without ink.
        nested: Several styles in one another.
        details: Whether notches, grain and inner lines are drawn; by chance when not given.
        peak_to_peak: Of the waves, instead.
        lift: Of the cards, instead.
        odd_scale: One card is printed this many times as large as the others.
        small: A small sheet, for quick tests.
    """
    chance = np.random.default_rng([seed, 70])
    paper = random_paper(chance) * (0.62 if small else 1.0)
    free = np.ptp(paper, axis=0) - chance.uniform(60, 130)
    demos = demo_blocks()
    block = demos[int(chance.integers(len(demos)))] if chance.random() < 0.5 else invented(chance)
    block = fitted(block, (float(free[0]), float(free[1])), chance)
    if chance.random() < 0.5:
        block = by_hand(block, float(chance.uniform(0.1, 0.4)), chance)
    width = float(chance.uniform(3, 5))
    colour = BLACK if chance.random() < 0.7 else COLOURS[int(chance.integers(1, len(COLOURS)))]
    if nested:
        lines = styles_of(block, nested, chance, width)
    else:
        lines = [outline(block, width, colour)]
        if details if details is not None else chance.random() < 0.7:
            lines += notches(block, chance, width, colour)
            lines += grain(block, width, colour) if chance.random() < 0.6 else []
            lines += inner_line(block, chance, width, colour) if chance.random() < 0.5 else []
    if gaps:
        lines[0] = with_gaps(lines[0], gaps, chance)
    ink = shapely.union_all([shapely.Polygon(line.points) for line in lines if line.closed])
    count = cards or int(chance.choice([4, 4, 5, 5, 6, 7]))
    lying = random_cards(chance, paper, ink, count)
    along, across = chance.uniform(0.985, 1.005) + chance.normal(0, 0.001, 2)
    raised = (1.0 if stress else 0.0) if lift is None else lift
    for number, card in enumerate(lying):
        stands = raised if raised and chance.random() < 0.5 else 0.0
        odd = odd_scale if number == 0 else 1.0
        lying[number] = replace(
            card,
            along=float(along * odd),
            across=float(across * odd),
            lift=stands,
            manner=Lift(str(chance.choice([each.value for each in Lift]))),
            far=bool(chance.random() < 0.5),
        )
    kind, floor_colour, pitch = _FLOORS[int(chance.integers(len(_FLOORS)))]
    creases = []
    if chance.random() < 0.4:
        x = chance.uniform(-0.3, 0.3) * np.ptp(paper[:, 0])
        creases.append(np.array([(x, paper[:, 1].min()), (x + 3, paper[:, 1].max())]))
    rise = (3.0 if stress else 0.0) if peak_to_peak is None else peak_to_peak
    return Scene(
        paper,
        tuple(lines),
        tuple(lying),
        tint=_PAPERS[int(chance.choice(3, p=[0.4, 0.35, 0.25]))],
        floor=Floor(kind, floor_colour, float(chance.uniform(0, 90)), pitch),
        waves=waves(seed, paper, rise),
        creases=tuple(creases),
        ragged=float(chance.choice([0.15, 0.8])),
    )


def what_must_show(scene: Scene) -> Array:
    """The edges of the paper and of the cards, in space."""
    parts = []
    for card in scene.cards:
        each = laid(scene, card, np.full(4, 1.0))
        parts.append(np.c_[each.outline, each.height(*each.outline.T)])
    share = np.linspace(0, 1, 5)[:, None, None]
    edge = (scene.paper + share * (np.roll(scene.paper, -1, axis=0) - scene.paper)).reshape(-1, 2)
    parts.append(np.c_[edge, scene.waves.at(*edge.T)])
    return np.vstack(parts)


def random_lens(
    chance: np.random.Generator, width: int, height: int
) -> tuple[float, tuple[float, float], tuple[float, float, float], tuple[float, float]]:
    """Focal length, principal point, k and p of a lens that does not fold back."""
    while True:
        focal = width * chance.uniform(0.65, 1.1)
        k1, k2 = chance.uniform(-0.18, 0.14), chance.uniform(-0.08, 0.09)
        k = (float(k1), float(k2), float(chance.normal(0, 0.004)))
        p = (float(chance.normal(0, 3e-4)), float(chance.normal(0, 3e-4)))
        off = chance.uniform(-0.008, 0.008, 2) * width
        centre = (float((width - 1) / 2 + off[0]), float((height - 1) / 2 + off[1]))
        lens = Camera(width, height, float(focal), centre, np.eye(3), np.zeros(3), k, p)
        if not lens.folds_back():
            return float(focal), centre, k, p


def random_camera(
    seed: int,
    scene: Scene,
    *,
    width: int = 4000,
    height: int = 3000,
    tilt: float | None = None,
    margin: float | None = None,
) -> Camera:
    """A phone held over the table so that all of it is in the picture.

    Args:
        seed: Of lens and place.
        scene: What must show.
        width: Pixels across.
        height: Pixels down.
        tilt: Degrees; 0 to 30 by chance when not given.
        margin: Free at the picture's edge, as a share of its width; less than 0 crops.
    """
    chance = np.random.default_rng([seed, 76])
    focal, centre, k, p = random_lens(chance, width, height)
    angle = np.radians(chance.uniform(0, 30) if tilt is None else tilt)
    roll = chance.uniform(0, 2 * np.pi)
    if chance.random() < 0.7:
        roll = np.radians(180 * chance.integers(2) + chance.normal(0, 8))
    way = chance.uniform(0, 2 * np.pi)
    down = np.diag([1.0, -1.0, -1.0])
    turning = (
        turned(np.array([np.cos(way), np.sin(way), 0]), float(angle))
        @ turned(np.array([0.0, 0.0, 1.0]), float(roll))
        @ down
    )
    free = width * (chance.uniform(0.015, 0.06) if margin is None else margin)
    room = np.array([width, height]) - 2 * free
    points = what_must_show(scene)
    away, target = 4000.0, np.append(scene.paper.mean(axis=0), 0.0)
    for _ in range(60):
        place = target - away * turning[2]
        camera = Camera(width, height, focal, centre, turning, place, k, p)
        px = camera.project(points)
        low, high = px.min(axis=0), px.max(axis=0)
        off = ((low + high) / 2 - (np.array([width, height]) - 1) / 2) * away / focal
        target = target + off[0] * turning[0] + off[1] * turning[1]
        ratio = float(((high - low) / room).max())
        away *= 1 + 0.7 * (ratio - 1)
    return camera
