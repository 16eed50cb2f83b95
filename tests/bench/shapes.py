"""Stitch lines of garment pieces, drawn from a body's measures and a few drawn proportions.

Every function here takes a random source, draws its proportions from it at once, and returns a
recipe: Body -> ring. A recipe drawn for several bodies gives sizes that nest. Proportions: common
practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from random import Random

from tests.bench.curves import Edges, bent, line, opened, sector

Recipe = Callable[["Body"], Edges]


@dataclass(frozen=True)
class Body:
    """Height and girths in millimetres."""

    height: float
    chest: float
    waist: float
    hip: float


def bodice(rng: Random, *, front: bool, length: float, whole: bool = False) -> Recipe:
    """Half or whole front or back; `length` is its part of the body's height."""
    ease, flare = rng.uniform(1.04, 1.16), rng.uniform(0.86, 1.15)
    deep = rng.uniform(0.055, 0.075) if front else rng.uniform(0.008, 0.014)

    def draw(body: Body) -> Edges:
        wide, long = body.chest / 4 * ease, body.height * length
        neck, scye = body.chest * 0.078, body.chest * 0.145 + body.height * 0.045
        tip, drop = body.chest * (0.2 if front else 0.21), body.height * 0.026
        depth, hem = body.height * deep, wide * flare
        scoop = tip - wide * (0.06 if front else 0.02)
        half = (
            line((0, 0), (0, long - depth)),
            bent(
                (0, long - depth), (neck * 0.6, long - depth), (neck, long - depth * 0.5),
                (neck, long),
            ),
            line((neck, long), (tip, long - drop)),
            bent(
                (tip, long - drop), (scoop, long - scye * 0.5), (scoop, long - scye),
                (wide, long - scye),
            ),
            bent(
                (wide, long - scye), (wide, long - scye * 1.4), (hem * 0.98, long * 0.2), (hem, 0)
            ),
            bent((hem, 0), (hem * 0.6, -0.01 * long), (hem * 0.4, 0), (0, 0)),
        )  # fmt: skip
        return opened(half) if whole else half

    return draw


def sleeve(rng: Random, length: float) -> Recipe:
    """A sleeve with its cap; `length` is the underarm's part of the body's height."""
    full, narrow, high = rng.uniform(0.36, 0.42), rng.uniform(0.6, 0.95), rng.uniform(0.3, 0.42)

    def draw(body: Body) -> Edges:
        half, long = body.chest * full / 2, body.height * length
        wrist, cap = half * narrow, half * 2 * high
        return (
            line((-wrist, 0), (-half, long)),
            bent(
                (-half, long), (-half * 0.5, long + cap * 0.02), (-half * 0.62, long + cap),
                (0, long + cap),
                (half * 0.55, long + cap), (half * 0.55, long - cap * 0.06), (half, long),
            ),
            line((half, long), (wrist, 0)),
            bent((wrist, 0), (wrist * 0.4, -6), (-wrist * 0.4, 6), (-wrist, 0)),
        )  # fmt: skip

    return draw


def leg(rng: Random, *, front: bool, length: float) -> Recipe:
    """A trouser leg; `length` is the inside leg's part of the body's height."""
    ease, knee, hem = rng.uniform(1.04, 1.14), rng.uniform(0.82, 1.0), rng.uniform(0.68, 1.1)
    fork = 0.055 if front else 0.115

    def draw(body: Body) -> Edges:
        long, rise = body.height * length, body.height * 0.155
        wide, out = body.hip / 4 * ease, body.hip * fork
        lean = 0.0 if front else wide * 0.14
        waist = body.waist / 4 * 1.12
        mid, ankle = wide * knee / 2, wide * hem / 2
        axis = (wide - out) / 2
        top = long + rise
        return (
            bent(
                (axis - ankle, 0), (axis - ankle, long * 0.2), (axis - mid, long * 0.4),
                (axis - mid, long * 0.55),
                (axis - mid, long * 0.8), (-out * 0.7, long * 0.9), (-out, long),
            ),
            bent(
                (-out, long), (-out * 0.2, long), (0, long + rise * 0.12), (0, long + rise * 0.4),
                (lean * 0.3, long + rise * 0.6), (lean * 0.8, long + rise * 0.8), (lean, top),
            ),
            line((lean, top), (lean + waist, top - rise * 0.06)),
            bent(
                (lean + waist, top - rise * 0.06), (wide, top - rise * 0.4),
                (wide * 1.02, long + rise * 0.2), (wide, long),
                (wide, long * 0.8), (axis + mid, long * 0.7), (axis + mid, long * 0.55),
                (axis + mid, long * 0.4), (axis + ankle, long * 0.2), (axis + ankle, 0),
            ),
            line((axis + ankle, 0), (axis - ankle, 0)),
        )  # fmt: skip

    return draw


def skirt(rng: Random, length: float, panels: int = 4) -> Recipe:
    """A flared panel of a skirt, with the hip's curve at both sides."""
    flare, ease = rng.uniform(1.0, 1.5), rng.uniform(1.02, 1.08)

    def draw(body: Body) -> Edges:
        long, high = body.height * length, body.height * 0.12
        hip, waist = body.hip / panels / 2 * ease, body.waist / panels / 2 * ease
        hem = hip * flare
        return (
            bent(
                (-hem, 0), (-hem * 0.95, long * 0.4), (-hip, long - high * 1.6),
                (-hip, long - high),
                (-hip, long - high * 0.6), (-waist, long - high * 0.3), (-waist, long),
            ),
            bent(
                (-waist, long), (-waist * 0.4, long - 12), (waist * 0.4, long - 12), (waist, long)
            ),
            bent(
                (waist, long), (waist, long - high * 0.3), (hip, long - high * 0.6),
                (hip, long - high),
                (hip, long - high * 1.6), (hem * 0.95, long * 0.4), (hem, 0),
            ),
            bent((hem, 0), (hem * 0.4, -hem * 0.12), (-hem * 0.4, -hem * 0.12), (-hem, 0)),
        )  # fmt: skip

    return draw


def circle_panel(rng: Random, length: float, angle: float) -> Recipe:
    """A panel of a circle skirt, `angle` degrees of it."""
    whole = rng.choice((180.0, 270.0, 360.0))

    def draw(body: Body) -> Edges:
        inner = body.waist / math.radians(whole)
        return sector(inner, inner + body.height * length, angle)

    return draw


def apron(rng: Random, length: float, whole: bool) -> Recipe:
    """A bib apron: half with a fold, or whole."""
    wide, bib, high = rng.uniform(0.8, 1.1), rng.uniform(0.28, 0.4), rng.uniform(0.3, 0.38)

    def draw(body: Body) -> Edges:
        long, side, top = body.height * length, body.hip / 4 * wide, body.chest / 2 * bib
        under = long * (1 - high)
        half = (
            line((0, 0), (0, long)),
            line((0, long), (top, long)),
            bent((top, long), (top * 1.02, long * 0.85), (side * 0.7, under * 1.02), (side, under)),
            line((side, under), (side, 0)),
            line((side, 0), (0, 0)),
        )
        return opened(half) if whole else half

    return draw


def facing(rng: Random, girth: float) -> Recipe:
    """A curved strip along a neck, an armhole or a waist; `girth` is its part of the chest."""
    angle, wide = rng.uniform(60, 200), rng.uniform(35, 70)

    def draw(body: Body) -> Edges:
        inner = body.chest * girth / math.radians(angle)
        return sector(inner, inner + wide, angle)

    return draw


def strip(rng: Random, least: float, most: float, wide: tuple[float, float]) -> Recipe:
    """A strap, belt or band, millimetres; sometimes with a pointed end."""
    long, across, point = rng.uniform(least, most), rng.uniform(*wide), rng.random() < 0.4

    def draw(body: Body) -> Edges:
        reach = long * (0.75 + 0.25 * body.height / 1700)
        end = (
            line((across, reach), (across / 2, reach + across * 0.4), (0, reach))
            if point
            else line((across, reach), (0, reach))
        )
        back = tuple(type(s)(*s[::-1]) for s in reversed(end))
        return (line((0, 0), (0, reach)), back, line((across, reach), (across, 0)),
                line((across, 0), (0, 0)))  # fmt: skip

    return draw


def collar(rng: Random) -> Recipe:
    """Half or whole collar: curved at the neck, points in front."""
    fall, spread, sag = rng.uniform(55, 85), rng.uniform(5, 35), rng.uniform(5, 30)

    def draw(body: Body) -> Edges:
        half = body.chest * 0.2
        return (
            line((-half, 0), (-half - spread, fall)),
            bent(
                (-half - spread, fall), (-half * 0.4, fall - sag * 0.6),
                (half * 0.4, fall - sag * 0.6), (half + spread, fall),
            ),
            line((half + spread, fall), (half, 0)),
            bent((half, 0), (half * 0.4, -sag), (-half * 0.4, -sag), (-half, 0)),
        )  # fmt: skip

    return draw


def pocket(rng: Random) -> Recipe:
    """A patch pocket: square, pointed or rounded below."""
    wide, tall, kind = rng.uniform(0.085, 0.12), rng.uniform(1.0, 1.35), rng.randrange(3)

    def draw(body: Body) -> Edges:
        w = body.height * wide
        h, r = w * tall, w * 0.35
        below = {
            0: line((w, 0), (0, 0)),
            1: line((w, r * 0.5), (w / 2, 0), (0, r * 0.5)),
            2: (
                *bent((w, r), (w, r * 0.45), (w - r * 0.55, 0), (w - r, 0)),
                *line((w - r, 0), (r, 0)),
                *bent((r, 0), (r * 0.45, 0), (0, r * 0.45), (0, r)),
            ),
        }[kind]
        return (
            line(tuple(below[-1].end), (0, h)),
            line((0, h), (w, h)),
            line((w, h), tuple(below[0].start)),
            below,
        )

    return draw


def gore(rng: Random, panels: int) -> Recipe:
    """A gore of a hat: curved sides that meet at the crown."""
    tall, puff = rng.uniform(165, 205), rng.uniform(0.9, 1.05)

    def draw(body: Body) -> Edges:
        size = 0.85 + 0.15 * body.height / 1700
        half, high = 590 * size / panels / 2, tall * size
        return (
            bent((-half, 0), (-half * puff, high * 0.5), (-half * 0.5, high * 0.85), (0, high)),
            bent((0, high), (half * 0.5, high * 0.85), (half * puff, high * 0.5), (half, 0)),
            bent((half, 0), (half * 0.4, -5), (-half * 0.4, -5), (-half, 0)),
        )

    return draw


def brim(rng: Random, angle: float) -> Recipe:
    """A part of a hat's brim."""
    wide, slope = rng.uniform(45, 90), rng.uniform(1.0, 1.5)

    def draw(body: Body) -> Edges:
        inner = 590 * (0.85 + 0.15 * body.height / 1700) / math.tau * slope
        return sector(inner, inner + wide, angle / slope)

    return draw


def hood(rng: Random) -> Recipe:
    """One side of a hood."""
    deep = rng.uniform(0.13, 0.155)

    def draw(body: Body) -> Edges:
        w, h = body.height * deep, body.height * 0.2
        return (
            line((0, 0), (0, h)),
            bent(
                (0, h), (w * 0.6, h * 1.06), (w * 1.05, h * 0.9), (w * 1.05, h * 0.55),
                (w * 1.05, h * 0.3), (w * 0.9, h * 0.1), (w * 0.85, -h * 0.06),
            ),
            bent((w * 0.85, -h * 0.06), (w * 0.5, h * 0.03), (w * 0.3, 0), (0, 0)),
        )  # fmt: skip

    return draw
