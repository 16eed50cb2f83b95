"""Open nesting instances; see data/README.md."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np

from tiler.layout.cloth.forms import Form, Thing
from tiler.layout.cloth.ring import area_of, moved
from tiler.pattern.affine import Affine

DATA = Path(__file__).parent / "data"
#: What the engine spyrrow 0.9.0 reaches alone: seed 1, one worker, no early end, 30 s of wall time
#: on a shared machine (10 to 12 s of processor time). Share of the strip that is used.
ENGINE = {"shirts": 0.8496, "trousers": 0.8824, "albano": 0.8622, "marques": 0.8753}


def instance(name: str) -> tuple[list[Thing], float]:
    """The things of an instance, and how wide its strip is."""
    read = json.loads((DATA / f"{name}.json").read_text())
    things: list[Thing] = []
    for item in read["items"]:
        ring = np.array(item["ring"], dtype=float)
        turns = [Affine.turn(degrees) for degrees in read["turns"]]
        forms = tuple(Form(turn, moved(ring, turn), 0.0) for turn in turns)
        things += [Thing(forms, abs(area_of(ring)))] * item["count"]
    return things, float(read["strip"])
