"""Which lines were drawn with one marker, and what its colour is called."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace

from tiler.intake.photo.lines.net import Net

#: Colours further apart than this (CIE L*, a*, b*, lightness halved) are of two markers.
APART = 16.0
#: Shorter arcs (millimetres) take their colour from crossings and do not make a marker.
_TELLING = 12.0
#: Less colourful than this (C*) is black or grey.
_DULL = 16.0

Lab = tuple[float, float, float]

#: The words that a user may type for a colour.
WORDS = ("black", "grey", "red", "orange", "brown", "yellow", "green", "blue", "violet")


def with_inks(net: Net) -> tuple[Net, Mapping[int, str]]:
    """The net with its arcs sorted by marker, and a word for each marker.

    Colours hang together when a chain of arcs leads from one to the other in steps of less than
    `APART`. A long arc counts as one, so a marker that fades along its way stays one marker.
    """
    keys = [k for k, arc in net.arcs.items() if arc.length >= _TELLING and not len(arc.bridged)]
    keys.sort(key=lambda k: (-net.arcs[k].length, k))
    groups: list[list[int]] = []
    for key in keys:
        near = [
            group
            for group in groups
            if any(distance(net.arcs[key].colour, net.arcs[k].colour) < APART for k in group)
        ]
        groups = [group for group in groups if group not in near]
        groups.append([k for group in near for k in group] + [key])
    means = [_mean(net, group) for group in groups]
    order = sorted(range(len(groups)), key=lambda n: (means[n][0], means[n]))
    means = [means[n] for n in order] or [(0.0, 0.0, 0.0)]
    inks = {key: ink for ink, n in enumerate(order) for key in groups[n]}
    arcs = {
        key: replace(
            arc,
            ink=inks[key]
            if key in inks
            else min(range(len(means)), key=lambda n: distance(arc.colour, means[n])),
        )
        for key, arc in net.arcs.items()
    }
    return Net(net.nodes, arcs), _named(means)


def distance(one: Lab, other: Lab) -> float:
    """How different two colours are; uneven light speaks for half of the lightness."""
    return math.hypot((one[0] - other[0]) / 2, one[1] - other[1], one[2] - other[2])


def _mean(net: Net, keys: list[int]) -> Lab:
    whole = sum(net.arcs[k].length for k in keys)
    sums = [sum(net.arcs[k].colour[n] * net.arcs[k].length for k in keys) for n in range(3)]
    return (sums[0] / whole, sums[1] / whole, sums[2] / whole)


def _named(means: list[Lab]) -> dict[int, str]:
    names: dict[int, str] = {}
    for ink, colour in enumerate(means):
        word = word_for(colour)
        same = sum(name.split("-")[0] == word for name in names.values())
        names[ink] = f"{word}-{same + 1}" if same else word
    return names


def word_for(colour: Lab) -> str:
    """The English word for a marker's colour (bounds of hue are our own, from sRGB samples)."""
    light, a, b = colour
    if math.hypot(a, b) < _DULL:
        return "black" if light < 50 else "grey"
    hue = math.degrees(math.atan2(b, a)) % 360
    if 40 <= hue < 95 and light < 48:
        return "brown"
    for upper, word in (
        (47, "red"),
        (78, "orange"),
        (108, "yellow"),
        (205, "green"),
        (308, "blue"),
        (348, "violet"),
    ):
        if hue < upper:
            return word
    return "red"
