"""The table's own frame: x to the right as the first picture shows it, from the cards' middle."""

from __future__ import annotations

import numpy as np

from tiler.intake.photo.camera.photographed import ROTATE, SHIFT, Photographed, rotation
from tiler.intake.photo.camera.scanned import TURNED, Scanned
from tiler.intake.photo.camera.scene import TURN, State, X


def levelled(view: Photographed | Scanned, state: State, cards: int, photos: int) -> State:
    """The same state in that frame.

    Args:
        view: How unknowns make pixels.
        state: In any frame.
        cards: How many there are.
        photos: Likewise.
    """
    values, turns = state.values.copy(), state.turns.copy()
    blocks = np.array([view.card(card) for card in range(cards)])
    places = values[blocks[:, None] + (X, X + 1)]
    middle = places.mean(axis=0)
    if isinstance(view, Scanned):
        angle = float(values[view.strip(0) + TURNED])
    else:
        angle = -float(np.arctan2(turns[0][0, 1], turns[0][0, 0]))
    around = rotation(np.array([0, 0, angle]))
    values[blocks[:, None] + (X, X + 1)] = (places - middle) @ around[:2, :2].T
    values[blocks + TURN] += angle
    for photo in range(photos):
        if isinstance(view, Scanned):
            at = view.strip(photo)
            values[at + 1 : at + 3] = view.camera(state, photo).to_photo(middle[None])[0]
            values[at + TURNED] -= angle
        else:
            at = view.photo(photo)
            values[at + SHIFT : at + SHIFT + 3] += turns[photo][:, :2] @ middle
            values[at + ROTATE : at + ROTATE + 3] = 0
            turns[photo] = turns[photo] @ around.T
    return State(values, turns)
