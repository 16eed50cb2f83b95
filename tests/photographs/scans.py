"""A large sheet scanned strip by strip, with cards where strips overlap."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
from PIL import Image

from tests.photographs.arranging import random_scene
from tests.photographs.camera import Flatbed
from tests.photographs.cardface import card_face
from tests.photographs.develop import Taking, developed
from tests.photographs.light import Light
from tests.photographs.render import seen
from tests.photographs.scene import CardOnTable, Floor, Scene

#: What a strip shows (wide scanners feed any length), and how far strips reach over one another.
STRIP, OVERLAP = (310.0, 800.0), 140.0
_STEP = STRIP[0] - OVERLAP


def scanned_scene(seed: int) -> Scene:
    """A sheet for three strips: its block in the middle, cards where the strips overlap."""
    chance = np.random.default_rng([seed, 78])
    scene = random_scene(seed, details=False)
    low, high = scene.lines[0].points.min(axis=0), scene.lines[0].points.max(axis=0)
    # The block leaves the length of a card above and below.
    scale = float(min(1.0, *(np.array([STRIP[0] + 2 * _STEP - 60, STRIP[1] - 430]) / (high - low))))
    middle = (low + high) / 2
    lines = tuple(replace(line, points=(line.points - middle) * scale) for line in scene.lines)
    half = np.array([STRIP[0] + 2 * _STEP, STRIP[1]]) / 2 - 8
    paper = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * half
    cards = []
    for strip in range(2):
        middle_x = -half[0] - 8 + (strip + 1) * _STEP + OVERLAP / 2
        for up in (False, True):
            number = 1 + len(cards)
            face = card_face(number)
            # Standing: the short side lies along x.
            card = CardOnTable(
                number,
                float(middle_x + face.height / 2 + chance.uniform(-3, 3)),
                float((half[1] - face.width - 14 if up else 14 - half[1]) + chance.uniform(-4, 4)),
                float(90 + chance.normal(0, 0.7)),
                scene.cards[0].along,
                scene.cards[0].across,
            )
            cards.append(card)
    lid = Floor("plain", (0.75, 0.75, 0.74), 0.0, 250.0)
    return Scene(paper, lines, tuple(cards), tint=scene.tint, floor=lid, creases=scene.creases)


def strip_beds(seed: int, dpi: float = 200.0) -> list[Flatbed]:
    """How the three strips lie: each a little turned, millimetres a little wrong both ways."""
    chance = np.random.default_rng([seed, 79])
    left, top = -STRIP[0] / 2 - _STEP, STRIP[1] / 2
    pitch = 25.4 / dpi * (1 + chance.uniform(-0.003, 0.003, 2))
    beds = []
    for strip in range(3):
        here = pitch * (1 + chance.normal(0, 2e-4, 2))
        size = round(STRIP[0] / here[0]), round(STRIP[1] / here[1])
        corner = left + strip * _STEP + chance.normal(0, 1.5), top + chance.normal(0, 1.5)
        turn = float(chance.normal(0, 0.4))
        beds.append(
            Flatbed(
                *size, (float(corner[0]), float(corner[1])), turn, (float(here[0]), float(here[1]))
            )
        )
    return beds


def scan_strips(scene: Scene, seed: int, dpi: float = 200.0) -> list[bytes]:
    """JPEG files of the strips, which tell their resolution as the scanner believes it."""
    even = Light((0.02, 0.01), (1.0, 1.0, 1.0), 0.0, (0, 0, 1000), (0, 0, 0), (0, 0, 1, 1, 0))
    taking = Taking(blur=0.6, softer=0.0, vignette=0.0, exposure=0.9, electrons=9000, contrast=0.0)
    files = []
    for number, bed in enumerate(strip_beds(seed, dpi)):
        pixels = developed(seen(scene, bed, even, seed), taking, seed * 10 + number)
        file = io.BytesIO()
        Image.fromarray(pixels).save(file, "JPEG", quality=90, dpi=(dpi, dpi))
        files.append(file.getvalue())
    return files
