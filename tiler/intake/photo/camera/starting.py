"""Where to begin: rough poses of cameras and places of cards, photo after photo."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tiler.intake.photo.camera.lens import Lens, LensCamera
from tiler.intake.photo.camera.scene import Seen
from tiler.intake.photo.cards import HEIGHT, SQUARE, WIDTH
from tiler.intake.photo.model import Numbers, Points


@dataclass(frozen=True, eq=False)
class Place:
    """Where the middle of a card lies, and how it is turned (radians)."""

    x: float
    y: float
    turn: float

    def of(self, on_card: Points) -> Points:
        """Points of the card on the table."""
        c, s = np.cos(self.turn), np.sin(self.turn)
        return np.asarray(on_card @ np.array([[c, s], [-s, c]]) + (self.x, self.y))


def homography(source: Points, target: Points) -> Numbers:
    """The 3 x 3 matrix that takes points to points, by least squares on conditioned points.

    Hartley, "In defense of the eight-point algorithm", IEEE PAMI 19 (1997), for the conditioning.
    """

    def conditioned(points: Points) -> tuple[Points, Numbers]:
        middle = points.mean(axis=0)
        spread = max(float(np.sqrt(np.mean((points - middle) ** 2))), 1e-9)
        matrix = np.array([[1 / spread, 0, 0], [0, 1 / spread, 0], [0, 0, 1]])
        matrix[:2, 2] = -middle / spread
        return (points - middle) / spread, matrix

    (a, from_a), (b, from_b) = conditioned(source), conditioned(target)
    one, zero = np.ones(len(a)), np.zeros((len(a), 3))
    ones = np.column_stack((a, one))
    upper = np.hstack((ones, zero, -b[:, :1] * ones))
    lower = np.hstack((zero, ones, -b[:, 1:] * ones))
    rows = np.vstack((upper, lower))
    # Nine by nine, whatever the number of points; conditioned points bear the squaring.
    matrix = np.linalg.eigh(rows.T @ rows)[1][:, 0].reshape(3, 3)
    matrix = np.linalg.inv(from_b) @ matrix @ from_a
    return np.asarray(matrix / matrix[2, 2])


def in_a_row(on_card: Points) -> bool:
    """Whether points of a card lie on one line, so that no homography follows from them."""
    spans = np.linalg.svd(on_card - on_card.mean(axis=0), compute_uv=False)
    return bool(spans[-1] / np.sqrt(len(on_card)) < SQUARE / 4)


def mapped(matrix: Numbers, points: Points) -> Points:
    """Points after a homography; no numbers for what goes to infinity."""
    out = np.column_stack((points, np.ones(len(points)))) @ matrix.T
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.asarray(out[:, :2] / out[:, 2:])


def laid(source: Points, target: Points) -> Place:
    """The turn and shift that lay points best on others (Procrustes, in the plane)."""
    a, b = source - source.mean(axis=0), target - target.mean(axis=0)
    turn = float(np.arctan2(np.sum(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]), np.sum(a * b)))
    rough = Place(0.0, 0.0, turn)
    x, y = (target.mean(axis=0) - rough.of(source).mean(axis=0)).tolist()
    return Place(x, y, turn)


def upright_camera(seen: Seen, photo: int, lens: Lens, scale: tuple[float, float]) -> LensCamera:
    """A camera above the plane that the cards of one photo lie on, with a table of its own.

    Each card that shows much of itself gives its place before the camera; the plane goes through
    them where they are three or more, else it is theirs.

    Args:
        seen: The corners.
        photo: Which photo.
        lens: What its lens is supposed to be.
        scale: Printed over nominal size of the cards.
    """
    middles, normals = [], []
    shown = np.bincount(seen.card[seen.photo == photo])
    for card in np.flatnonzero(shown * 2 > shown.max()):
        here = seen.of(photo, int(card))
        if in_a_row(seen.on_card[here]):
            continue
        rays = (seen.in_photo[here] - lens.middle) / lens.focal_px
        matrix = homography(seen.on_card[here] * scale, rays)
        size = np.sqrt(np.linalg.norm(matrix[:, 0]) * np.linalg.norm(matrix[:, 1]))
        matrix = matrix / (size * np.sign(matrix[2, 2]))
        normal = np.cross(matrix[:, 0], matrix[:, 1])
        normals.append(normal / np.linalg.norm(normal))
        middles.append(matrix[:, 2])
    points = np.array(middles)
    up = np.mean(normals, axis=0)
    up /= np.linalg.norm(up)
    if len(points) > 2:
        _, spans, axes = np.linalg.svd(points - points.mean(axis=0))
        if spans[1] > WIDTH and abs(float(axes[2] @ up)) > 0.8:
            up = axes[2] * np.sign(axes[2] @ up)
    if up[2] > 0:
        up = -up
    right = np.array([1.0, 0, 0]) - up * up[0]
    right /= np.linalg.norm(right)
    return LensCamera(lens, np.column_stack((right, np.cross(up, right), up)), points.mean(axis=0))


@dataclass(frozen=True, eq=False)
class Begun:
    """A place for every card (in the order of `Seen.cards`), and one for each photo's own table."""

    cards: tuple[Place, ...]
    tables: tuple[Place, ...]


def joined(seen: Seen, tables: Sequence[Points], scale: tuple[float, float]) -> Begun:
    """One table out of those that the photos show.

    Args:
        seen: The corners; photos must hang together by the cards that they share.
        tables: The corners of each photo on its own table (in the order of `Seen`).
        scale: Printed over nominal size of the cards.
    """
    cards: dict[int, Place] = {}
    own: dict[int, Place] = {0: Place(0.0, 0.0, 0.0)}
    shown = [set(np.unique(seen.card[seen.photo == p]).tolist()) for p in range(len(tables))]
    on_card = seen.on_card * scale
    photo = 0
    while True:
        for card in shown[photo] - cards.keys():
            at = own[photo].of(tables[photo][seen.card[seen.photo == photo] == card])
            cards[card] = laid(on_card[seen.of(photo, card)], at)
        rest = [p for p in range(len(tables)) if p not in own]
        if not rest:
            break
        photo = max(rest, key=lambda p: len(shown[p] & cards.keys()))
        at_card = seen.card[seen.photo == photo]
        known = np.isin(at_card, list(cards))
        aims = np.empty((len(at_card), 2))
        for card in shown[photo] & cards.keys():
            aims[at_card == card] = cards[card].of(on_card[seen.of(photo, card)])
        own[photo] = laid(tables[photo][known], aims[known])
    return Begun(
        tuple(cards[card] for card in range(len(seen.cards))),
        tuple(own[p] for p in range(len(tables))),
    )


def corner_of(place: Place, scale: tuple[float, float]) -> tuple[float, float]:
    """The lower left corner of the squares of a card whose middle is given."""
    x, y = place.of(np.array([[-WIDTH / 2 * scale[0], -HEIGHT / 2 * scale[1]]]))[0].tolist()
    return x, y
