"""Photos of cards on a table as a function of all unknowns, with its slopes."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tiler.intake.photo.camera.lens import Lens, LensCamera
from tiler.intake.photo.camera.scene import OF_CARD, Indices, Seen, State, on_table
from tiler.intake.photo.model import Numbers, Points

#: The unknowns of a lens, in order: logarithm of the focal length in pixels, principal point.
FOCAL, MIDDLE_X, MIDDLE_Y, K1, K2, K3, P1, P2 = range(8)
OF_LENS = 8
#: Those of a photo: turn and shift of the camera, and by what share it focused longer.
ROTATE, SHIFT, ZOOM = 0, 3, 6
OF_PHOTO = 7


def rotation(vector: Numbers) -> Numbers:
    """The rotation by a vector's length about it (Rodrigues' formula), (3, 3)."""
    angle = float(np.linalg.norm(vector))
    x, y, z = (vector / angle).tolist() if angle > 0 else (0.0, 0.0, 0.0)
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    turned = np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross
    return np.asarray(turned)


def _shifted(shift: Numbers, step: Numbers) -> Numbers:
    """A camera's shift after a step, which is the sum of both as far as the step is small."""
    depth = shift[2]
    if not depth > 0:
        return shift + step
    share = float(np.clip(step[2] / depth, -1.0, 1.0))
    ray = shift / depth
    return np.asarray((ray + (step - ray * step[2]) / depth) * depth * np.exp(share))


@dataclass(frozen=True)
class Photographed:
    """The unknowns: print scale, then lenses, photos, cards.

    Args:
        lens_of: Index of the lens that took each photo.
        lenses: How many there are.
        cards: How many there are.
    """

    lens_of: tuple[int, ...]
    lenses: int
    cards: int

    @property
    def size(self) -> int:
        """How many unknowns there are."""
        return self.card(self.cards)

    def lens(self, photo: int) -> int:
        """Where the unknowns of a photo's lens begin."""
        return 2 + OF_LENS * self.lens_of[photo]

    def photo(self, photo: int) -> int:
        """Where the unknowns of a photo begin."""
        return 2 + OF_LENS * self.lenses + OF_PHOTO * photo

    def card(self, card: int) -> int:
        """Where the unknowns of a card begin."""
        return self.photo(len(self.lens_of)) + OF_CARD * card

    def camera(self, state: State, photo: int) -> LensCamera:
        """The camera that took a photo."""
        own, at = self.lens(photo), self.photo(photo)
        focal, x, y, k1, k2, k3, p1, p2 = state.values[own : own + OF_LENS].tolist()
        stretched = float(np.exp(focal + state.values[at + ZOOM]))
        lens = Lens(stretched, (x, y), (k1, k2, k3), (p1, p2))
        return LensCamera(lens, state.turns[photo], state.values[at + SHIFT : at + SHIFT + 3])

    def look(self, state: State, seen: Seen) -> tuple[Points, Numbers]:
        """Pixels of all corners (NaN behind a camera), and how they move (`View.look`)."""
        common = self.card(0)
        blocks: Indices = common + OF_CARD * seen.card
        places, slopes = on_table(state.values, blocks, seen.on_card, common)
        pixels = np.empty((len(places), 2))
        moves = np.empty((len(places), 2, common + OF_CARD))
        for photo in range(len(self.lens_of)):
            here = seen.photo == photo
            pixels[here], by_place, by_unknowns = self._project(state, photo, places[here])
            moves[here] = by_place @ slopes[here]
            moves[here, :, :common] += by_unknowns
        return pixels, moves

    def table(self, state: State, photo: int, points: Points) -> tuple[Numbers, Numbers]:
        """How pixels of table points move: with the points (n, 2, 2), and with what is common."""
        places = np.column_stack((points, np.zeros(len(points))))
        _, by_place, by_unknowns = self._project(state, photo, places)
        return by_place[:, :, :2], by_unknowns

    def moved(self, state: State, step: Numbers) -> State:
        """The state after a step; turns are taken on into the rotations.

        Distances grow by shares and directions by angles, so that a camera that backs away while
        its focal length grows stays on its picture, however long the step.
        """
        values = state.values + step
        turns = state.turns.copy()
        for photo in range(len(self.lens_of)):
            at = slice(self.photo(photo) + ROTATE, self.photo(photo) + ROTATE + 3)
            turns[photo] = rotation(step[at]) @ turns[photo]
            values[at] = 0
            at = slice(self.photo(photo) + SHIFT, self.photo(photo) + SHIFT + 3)
            values[at] = _shifted(state.values[at], step[at])
        return State(values, turns)

    def _project(
        self, state: State, photo: int, places: Numbers
    ) -> tuple[Points, Numbers, Numbers]:
        camera = self.camera(state, photo)
        lens, focal = camera.lens, camera.lens.focal_px
        turned = places @ camera.turn.T
        seen = turned + camera.shift
        depth = np.where(seen[:, 2] > 1e-6, seen[:, 2], np.nan)
        rays = seen[:, :2] / depth[:, None]
        bent = lens.bent(rays)
        x, y = rays[:, 0], rays[:, 1]
        square = x * x + y * y

        flat = np.zeros((len(places), 2, 3))
        flat[:, 0, 0] = flat[:, 1, 1] = 1 / depth
        flat[:, :, 2] = -rays / depth[:, None]
        by_seen = focal * lens.slopes(rays) @ flat

        moves = np.zeros((len(places), 2, self.card(0)))
        own, at = self.lens(photo), self.photo(photo)
        moves[:, :, own + FOCAL] = moves[:, :, at + ZOOM] = focal * bent
        moves[:, 0, own + MIDDLE_X] = moves[:, 1, own + MIDDLE_Y] = 1
        for power in range(3):
            moves[:, :, own + K1 + power] = focal * rays * (square ** (power + 1))[:, None]
        moves[:, 0, own + P1] = moves[:, 1, own + P2] = focal * 2 * x * y
        moves[:, 1, own + P1] = focal * (square + 2 * y * y)
        moves[:, 0, own + P2] = focal * (square + 2 * x * x)
        moves[:, :, at + SHIFT : at + SHIFT + 3] = by_seen
        # A small turn w moves the place p, as the camera sees it, by w x p.
        px, py, pz = turned[:, 0:1], turned[:, 1:2], turned[:, 2:3]
        moves[:, :, at + ROTATE] = by_seen[:, :, 2] * py - by_seen[:, :, 1] * pz
        moves[:, :, at + ROTATE + 1] = by_seen[:, :, 0] * pz - by_seen[:, :, 2] * px
        moves[:, :, at + ROTATE + 2] = by_seen[:, :, 1] * px - by_seen[:, :, 0] * py
        return bent * focal + lens.middle, by_seen @ camera.turn, moves
