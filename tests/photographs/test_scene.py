"""Scenes by chance are such as a person would lay out."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from tests.photographs.arranging import random_scene
from tests.photographs.cardface import card_face
from tests.photographs.scans import scanned_scene
from tests.photographs.scene import CardOnTable, Lift, Scene, waves

SCENES = [random_scene(seed, seed % 2 == 1) for seed in range(24)]


def area(card: CardOnTable) -> shapely.Polygon:
    face = card_face(card.number)
    b, w, h = face.border, face.width, face.height
    return shapely.Polygon(
        card.to_table(np.array([(-b, -b), (w + b, -b), (w + b, h + b), (-b, h + b)]))
    )


@pytest.mark.parametrize("scene", [*SCENES, *(scanned_scene(seed) for seed in range(6))])
def test_ink_is_on_the_paper_and_free_of_cards_which_lie_apart(scene: Scene) -> None:
    paper = shapely.Polygon(scene.paper).buffer(-5)
    cards = [area(card) for card in scene.cards]
    for line in scene.lines:
        drawn = shapely.LineString(line.points)
        assert paper.contains(drawn)
        assert min(card.distance(drawn) for card in cards) > 4
    assert not any(a.intersects(b) for i, a in enumerate(cards) for b in cards[:i])
    assert len({card.number for card in scene.cards}) == len(cards) >= 4


def test_waves_are_as_high_as_was_asked_for() -> None:
    paper = np.array([(-400.0, -300), (400, -300), (400, 300), (-400, 300)])
    x, y = np.meshgrid(np.linspace(-400, 400, 200), np.linspace(-300, 300, 200))
    for seed in range(5):
        z = waves(seed, paper, 3.0).at(x, y)
        assert np.ptp(z) == pytest.approx(3.0, abs=0.05)
        assert z.min() == pytest.approx(0.0, abs=0.05)


@pytest.mark.parametrize(
    ("manner", "middle"), [(Lift.WHOLE, 1.0), (Lift.END, 0.5), (Lift.CURL, 0.25)]
)
def test_a_card_stands_up_as_it_was_told(manner: Lift, middle: float) -> None:
    card = CardOnTable(1, 0, 0, 0, lift=1.0, manner=manner)
    assert card.stands(np.array([84.0, 168.0]), 168.0) == pytest.approx([middle, 1.0])


def test_a_card_comes_back_from_the_table() -> None:
    card = CardOnTable(1, 30, -20, 33, along=0.99, across=1.01)
    points = np.array([(0.0, 0.0), (168, 0), (10, 105)])
    assert card.to_card(card.to_table(points)) == pytest.approx(points)


def test_half_of_the_scenes_under_stress_have_lifted_cards_and_all_have_waves() -> None:
    stressed = SCENES[1::2]
    assert sum(any(card.lift for card in scene.cards) for scene in stressed) >= len(stressed) / 2
    assert all(len(scene.waves.heights) for scene in stressed)
    assert not any(card.lift for scene in SCENES[::2] for card in scene.cards)
