"""Garment-like patterns drawn by chance, always the same for a seed, to measure layouts on.

`SETS` are the twelve that the report speaks of; `garment_set` makes more. Each has 3 to 24 pieces
with cut and stitch line, grain and cutting instruction, for a child or a grown-up, in one to four
sizes that nest.
"""

from __future__ import annotations

from functools import cache
from random import Random

from tests.bench import shapes
from tests.bench.curves import Edges
from tests.bench.shapes import Body, Recipe
from tiler.drafting.allowance import cut_outline
from tiler.pattern.affine import Point
from tiler.pattern.bounds import bounds_of
from tiler.pattern.model import (
    Cut,
    Edge,
    Lay,
    Lies,
    Line,
    Mark,
    Outline,
    Pattern,
    Piece,
    Role,
    Source,
)
from tiler.pattern.path import Path, polyline

#: Seeds of the twelve sets of the report.
SEEDS = (1, 2, 3, 4, 5, 7, 10, 11, 18, 33, 68, 69)

#: Name, recipe, how often it is cut.
Plan = list[tuple[str, Recipe, int]]


def blouse(rng: Random) -> Plan:
    """A shirt or smock."""
    long = rng.uniform(0.36, 0.46)
    plan: Plan = [
        ("Front", shapes.bodice(rng, front=True, length=long, whole=rng.random() < 0.5), 1),
        ("Back", shapes.bodice(rng, front=False, length=long, whole=rng.random() < 0.5), 1),
        ("Sleeve", shapes.sleeve(rng, rng.choice((0.08, 0.16, 0.26))), 2),
        ("Collar", shapes.collar(rng), 2),
        ("Cuff", shapes.strip(rng, 200, 260, (60, 120)), 4),
        ("Pocket", shapes.pocket(rng), 2),
        ("Back neck facing", shapes.facing(rng, 0.22), 1),
    ]
    return plan + small_parts(rng, rng.randint(0, 5))


def dress(rng: Random) -> Plan:
    """A bodice with a skirt of panels or of parts of a circle."""
    plan: Plan = [
        ("Bodice front", shapes.bodice(rng, front=True, length=0.26, whole=True), 1),
        ("Bodice back", shapes.bodice(rng, front=False, length=0.27), 2),
        ("Neck facing", shapes.facing(rng, 0.25), 1),
        ("Armhole facing", shapes.facing(rng, 0.3), 2),
    ]
    if rng.random() < 0.5:
        plan.append(("Skirt panel", shapes.circle_panel(rng, rng.uniform(0.26, 0.36), 90), 2))
    else:
        plan.append(("Skirt front", shapes.skirt(rng, rng.uniform(0.3, 0.42), 2), 1))
        plan.append(("Skirt back", shapes.skirt(rng, rng.uniform(0.3, 0.42), 4), 2))
    if rng.random() < 0.6:
        plan.append(("Sleeve", shapes.sleeve(rng, rng.choice((0.05, 0.2))), 2))
    plan.append(("Belt", shapes.strip(rng, 900, 1500, (40, 90)), 1))
    return plan + small_parts(rng, rng.randint(0, 4))


def trousers(rng: Random) -> Plan:
    """Two legs, a waistband, pockets."""
    inside = rng.choice((0.1, 0.25, 0.44))
    plan: Plan = [
        ("Front leg", shapes.leg(rng, front=True, length=inside), 2),
        ("Back leg", shapes.leg(rng, front=False, length=inside), 2),
        ("Waistband", shapes.strip(rng, 600, 1000, (70, 100)), 1),
        ("Back pocket", shapes.pocket(rng), 2),
        ("Pocket facing", shapes.facing(rng, 0.16), 2),
        ("Fly facing", shapes.facing(rng, 0.14), 1),
    ]
    return plan + small_parts(rng, rng.randint(0, 5))


def overall(rng: Random) -> Plan:
    """Legs, bib, straps and much that is small."""
    return [
        *trousers(rng),
        ("Bib", shapes.apron(rng, 0.24, True), 2),
        ("Long strap", shapes.strip(rng, 700, 1100, (45, 90)), 4),
        ("Side facing", shapes.facing(rng, 0.24), 2),
        *(
            (f"{name} extra", recipe, count)
            for name, recipe, count in small_parts(rng, rng.randint(3, 8))
        ),
    ]


def circle_skirt(rng: Random) -> Plan:
    """Big panels and a band."""
    return [
        ("Panel", shapes.circle_panel(rng, rng.uniform(0.28, 0.4), rng.choice((45, 60, 90))), 4),
        ("Yoke", shapes.facing(rng, 0.42), 2),
        ("Waistband", shapes.strip(rng, 500, 900, (60, 100)), 1),
        *small_parts(rng, rng.randint(0, 2)),
    ]


def potting_apron(rng: Random) -> Plan:
    """A bib apron with straps."""
    return [
        ("Apron", shapes.apron(rng, rng.uniform(0.42, 0.55), rng.random() < 0.5), 1),
        ("Neck strap", shapes.strip(rng, 450, 700, (50, 90)), 1),
        ("Tie", shapes.strip(rng, 700, 1300, (50, 90)), 2),
        ("Wide pocket", shapes.strip(rng, 220, 380, (200, 260)), 1),
        ("Armhole facing", shapes.facing(rng, 0.34), 2),
        *small_parts(rng, rng.randint(0, 3)),
    ]


def hat(rng: Random) -> Plan:
    """Gores, brim and band."""
    plan: Plan = [
        ("Gore", shapes.gore(rng, rng.choice((4, 6))), 6),
        ("Brim", shapes.brim(rng, 180), 4),
        ("Under brim", shapes.brim(rng, 180), 4),
        ("Band", shapes.strip(rng, 280, 620, (40, 80)), 2),
    ]
    return plan + small_parts(rng, rng.randint(0, 2))


def coat(rng: Random) -> Plan:
    """A long coat with a hood and whole pieces as big as a table."""
    long = rng.uniform(0.5, 0.62)
    return [
        ("Coat front", shapes.bodice(rng, front=True, length=long), 2),
        ("Coat back", shapes.bodice(rng, front=False, length=long, whole=True), 1),
        ("Sleeve", shapes.sleeve(rng, 0.26), 2),
        ("Under sleeve", shapes.strip(rng, 380, 520, (110, 170)), 2),
        ("Hood", shapes.hood(rng), 4),
        ("Hood band", shapes.strip(rng, 500, 800, (80, 130)), 1),
        ("Front facing", shapes.strip(rng, 600, 950, (70, 130)), 2),
        ("Hem facing", shapes.facing(rng, 0.3), 2),
        *small_parts(rng, rng.randint(3, 8)),
    ]


def long_dress(rng: Random) -> Plan:
    """Panels from the waist to the floor, bigger than a table is wide."""
    return [
        ("Bodice front", shapes.bodice(rng, front=True, length=0.26, whole=True), 1),
        ("Bodice back", shapes.bodice(rng, front=False, length=0.27, whole=True), 1),
        ("Front panel", shapes.circle_panel(rng, rng.uniform(0.45, 0.56), 75), 1),
        ("Side panel", shapes.skirt(rng, rng.uniform(0.5, 0.58), 4), 2),
        ("Back panel", shapes.circle_panel(rng, rng.uniform(0.45, 0.56), 60), 2),
        ("Sleeve", shapes.sleeve(rng, 0.26), 2),
        ("Sash", shapes.strip(rng, 1200, 1500, (60, 140)), 2),
        ("Neck facing", shapes.facing(rng, 0.25), 1),
        *small_parts(rng, rng.randint(0, 4)),
    ]


def outfit(rng: Random) -> Plan:
    """A coat and trousers on the same paper."""
    both = [*coat(rng), *trousers(rng)[:6]]
    seen: dict[str, int] = {}
    plan = []
    for name, recipe, count in both:
        seen[name] = seen.get(name, 0) + 1
        plan.append((name if seen[name] == 1 else f"{name} {seen[name]}", recipe, count))
    return plan


def small_parts(rng: Random, count: int) -> Plan:
    """Odds and ends, every one with a name of its own."""
    makers = {
        "Flap": lambda: shapes.pocket(rng),
        "Tab": lambda: shapes.strip(rng, 80, 180, (35, 60)),
        "Loop": lambda: shapes.strip(rng, 300, 600, (30, 45)),
        "Neck strip": lambda: shapes.facing(rng, 0.2),
        "Pocket bag": lambda: shapes.pocket(rng),
        "Collar stand": lambda: shapes.facing(rng, 0.4),
        "Gusset": lambda: shapes.gore(rng, 6),
        "Small pocket": lambda: shapes.pocket(rng),
    }
    names = rng.sample(sorted(makers), count)
    return [(name, makers[name](), rng.choice((1, 2, 2, 4))) for name in names]


#: The kind of a set is its seed's place in here, over and over.
KINDS = (
    blouse, trousers, hat, dress, potting_apron, overall,
    circle_skirt, coat, long_dress, outfit, blouse, dress,
)  # fmt: skip


@cache
def garment_set(seed: int) -> Pattern:
    """A pattern drawn by chance; the same for the same seed."""
    rng = Random(seed)
    kind = KINDS[seed % len(KINDS)]
    child = rng.random() < 0.4
    height = rng.uniform(950, 1400) if child else rng.uniform(1550, 1850)
    # Children are stouter than grown-ups for their height.
    chest = height * (rng.uniform(0.5, 0.56) if child else rng.uniform(0.5, 0.64))
    body = Body(height, chest, chest * rng.uniform(0.8, 0.94), chest * rng.uniform(1.02, 1.1))
    sizes = rng.choice((1, 1, 2, 3, 4))
    styles = tuple(f"size {number + 1}" for number in range(sizes)) if sizes > 1 else ()
    bodies = [grown(body, number, child) for number in range(sizes)]
    pieces = []
    for name, recipe, count in kind(rng):
        rings = [recipe(each) for each in bodies]
        pieces.append(_piece(name, rings, styles, rng.choice((10.0, 10.0, 15.0)), count))
    return Pattern(
        f"{kind.__name__.replace('_', ' ').capitalize()} {seed}",
        tuple(pieces),
        cloths=(("main", "Firm cotton twill"),),
        styles=tuple((style, style) for style in styles),
        sources=(Source("pattern.toml", f"title = 'Set {seed}'\n".encode()),),
    )


def grown(body: Body, number: int, child: bool) -> Body:
    """The body that many sizes on."""
    tall, wide = (60.0, 30.0) if child else (8.0, 40.0)
    return Body(
        body.height + tall * number,
        body.chest + wide * number,
        body.waist + wide * number,
        body.hip + wide * number,
    )


def _piece(
    name: str, rings: list[Edges], styles: tuple[str, ...], allowance: float, count: int
) -> Piece:
    stitches = [_outline(ring, style) for ring, style in zip(rings, styles or ("",), strict=True)]
    cuts = tuple(
        cut_outline(outline, {edge.letter: allowance for edge in outline.edges})
        for outline in stitches
    )
    inner = stitches[0].path.bounds
    middle, reach = inner.centre, inner.height * 0.3
    lines = tuple(Line(Role.STITCH, outline.path, outline.style) for outline in stitches)
    marks = []
    for outline in cuts:
        edge = max(outline.edges, key=lambda e: e.path.length)
        at, (dx, dy) = edge.path.point_at(edge.path.length / 2)
        tick = polyline([at, Point(at.x + dy * 5, at.y - dx * 5)])
        marks.append(Mark(Role.NOTCH, at, tick, outline.style))
    return Piece(
        name,
        cuts,
        lines,
        tuple(marks),
        polyline([Point(middle.x, middle.y - reach), Point(middle.x, middle.y + reach)]),
        cuts=(Cut(count, "main", Lay.PAIR if count % 2 == 0 else Lay.COPIES),),
        allowance=allowance,
        stitch=tuple(stitches),
    )


def _outline(ring: Edges, style: str) -> Outline:
    """Edges lettered from the corner nearest the lower left."""
    box = bounds_of([Path(edge).bounds for edge in ring])
    low = Point(box.left, box.bottom)
    first = min(range(len(ring)), key=lambda n: ring[n][0].start.to(low))
    ordered = ring[first:] + ring[:first]
    return Outline(
        Role.STITCH,
        tuple(
            Edge("ABCDEFGHIJ"[number], Path(edge), Lies.SEWN) for number, edge in enumerate(ordered)
        ),
        style,
    )


def twelve_sets() -> tuple[Pattern, ...]:
    """The sets that the report speaks of."""
    return tuple(garment_set(seed) for seed in SEEDS)
