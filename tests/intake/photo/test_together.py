"""Several photos of one large sheet, and strips from a scanner, give one measured outline."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from tests.photographs.arranging import random_camera, random_scene
from tests.photographs.camera import Camera
from tests.photographs.cardface import card_face
from tests.photographs.photograph import photograph
from tests.photographs.scans import scan_strips, scanned_scene
from tests.photographs.scene import CardOnTable, Scene
from tests.photographs.truth import Deviations, deviation
from tiler.intake.photo.camera.printed import Printed
from tiler.intake.photo.capture import Captured, capture
from tiler.intake.photo.lines.sorting import Asked
from tiler.intake.photo.picture import read_photo

#: The sheet, and how far each of two photos reaches over its middle, millimetres.
SHEET, OVER = (1000.0, 560.0), 190.0


def test_two_photos_of_one_large_sheet_give_its_whole_outline() -> None:
    scene = large_scene()
    photos = [photograph(scene, camera, seed) for seed, camera in cameras(scene)]

    captured = captured_from(photos, scene)

    found = off(captured, scene)
    assert found.p95 <= 0.5
    assert found.worst <= 1.2
    assert captured.accuracy.p95 >= found.p95


def test_neither_of_the_two_photos_shows_the_outline_whole() -> None:
    scene = large_scene()
    outline = scene.of("outline")[0].points

    for _, camera in cameras(scene):
        px = camera.project(np.c_[outline, np.zeros(len(outline))])
        seen = ((px >= 0) & (px < (camera.width, camera.height))).all(axis=1)
        assert 0.3 < seen.mean() < 0.95


def test_strips_from_a_scanner_are_put_together_by_the_cards_in_their_overlaps() -> None:
    scene = scanned_scene(2)

    captured = captured_from(scan_strips(scene, 2, 90), scene)

    assert captured.solved.flat
    found = off(captured, scene)
    assert found.p95 <= 0.5
    assert found.worst <= 1.2
    assert captured.accuracy.p95 >= found.p95


def large_scene() -> Scene:
    """A sheet too large for one photo: cards at its ends, and three across its middle."""
    scene = random_scene(3, cards=4, details=False)
    half = np.array(SHEET) / 2
    paper = np.array([(-1, -1), (1, -1), (1, 1), (-1, 1)]) * half
    line = scene.of("outline")[0]
    low, high = line.points.min(axis=0), line.points.max(axis=0)
    points = (line.points - (low + high) / 2) / (high - low) * (np.array(SHEET) - 60)
    wide, high_ = card_face(1).width, card_face(1).height
    beyond = half[1] + 14
    places = [
        (-half[0] + 20, beyond),
        (-wide / 2, beyond),
        (half[0] - wide - 20, beyond),
        (-half[0] + 20, -beyond - high_),
        (-wide / 2, -beyond - high_),
        (half[0] - wide - 20, -beyond - high_),
    ]
    cards = tuple(
        CardOnTable(number + 1, float(x), float(y), turn)
        for number, ((x, y), turn) in enumerate(
            zip(places, (1.5, -2.0, 0.7, -1.1, 2.2, -0.6), strict=True)
        )
    )
    return replace(
        scene, paper=paper, lines=(replace(line, points=points),), cards=cards, creases=()
    )


def cameras(scene: Scene) -> list[tuple[int, Camera]]:
    """One camera over the left part and one over the right."""
    found = []
    for seed, side in ((31, -1), (32, 1)):
        cards = tuple(card for card in scene.cards if side * (card.x + 84) > -60)
        x = np.clip(scene.paper[:, 0] * side, -OVER + 60, None) * side
        part = replace(scene, cards=cards, paper=np.column_stack((x, scene.paper[:, 1])))
        camera = random_camera(seed, part, width=1600, height=1200, tilt=14, margin=0.02)
        found.append((seed, camera))
    return found


def captured_from(files: list[bytes], scene: Scene) -> Captured:
    photos = [read_photo(f"IMG_{number}.jpg", file) for number, file in enumerate(files)]
    card = scene.cards[0]
    return capture(photos, Printed(card.along, card.across, 5e-4), Asked((), ()))


def off(captured: Captured, scene: Scene) -> Deviations:
    lines = [
        (
            np.array(
                [
                    captured.to_table[number](point)
                    for path in sheet.paths
                    if path.role is None
                    for point in path.path.flattened(0.02)
                ]
            ),
            True,
        )
        for number, sheet in enumerate(captured.drawings)
    ]
    assert len(lines) == 1
    return deviation(lines, [(line.points, True) for line in scene.of("outline")])
