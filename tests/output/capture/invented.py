"""A capture made up by hand: a rectangle and its marks under a camera that looks down slanting."""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np

from tiler.intake.drawn import DrawnPath, DrawnSheet
from tiler.intake.photo.capture import Captured
from tiler.intake.photo.model import (
    Flattened,
    Kind,
    Lying,
    Photo,
    Points,
    Solved,
    Traced,
    Tracing,
)
from tiler.intake.photo.problem import Doubt, Spot
from tiler.intake.photo.trust.accuracy import Accuracy, Part
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Role
from tiler.pattern.path import polyline, rectangle

PAPER = (230, 220, 200)
WIDTH, HEIGHT = 1200, 900
#: The piece on the table, millimetres.
LEFT, BOTTOM, RIGHT, TOP = 100.0, 100.0, 500.0, 400.0
#: Where the line is least sure, where a gap was closed, and the doubt's place in the photo.
WORST, CLOSED, DOUBTED = (500.0, 250.0), (300.0, 400.0), (650.0, 700.0)

_TABLE = np.array([(-100, -100), (700, -100), (700, 600), (-100, 600)], dtype=np.float32)
_PHOTO = np.array([(60, 860), (1130, 840), (1010, 50), (190, 70)], dtype=np.float32)
_MAP = cv2.getPerspectiveTransform(_TABLE, _PHOTO).astype(float)


class Slanting:
    """A camera without a lens."""

    centre = (300.0, -200.0, 1500.0)

    def to_photo(self, on_table: Points) -> Points:
        homogeneous = np.column_stack((on_table, np.ones(len(on_table)))) @ _MAP.T
        return np.asarray(homogeneous[:, :2] / homogeneous[:, 2:])

    def to_table(self, in_photo: Points) -> Points:
        homogeneous = np.column_stack((in_photo, np.ones(len(in_photo)))) @ np.linalg.inv(_MAP).T
        return np.asarray(homogeneous[:, :2] / homogeneous[:, 2:])


def photo() -> Photo:
    return Photo("shed.jpg", np.full((HEIGHT, WIDTH, 3), PAPER, dtype=np.uint8))


def in_photo(*places: tuple[float, float]) -> Points:
    """Where places of the table are in the photo."""
    return Slanting().to_photo(np.array(places))


@cache
def invented() -> Captured:
    outline = rectangle(Bounds(10, 10, 10 + RIGHT - LEFT, 10 + TOP - BOTTOM))
    paths = (
        DrawnPath(outline, None, "", False, "outline in the photo", ()),
        DrawnPath(
            polyline([Point(200, 60), Point(200, 260)]), Role.GRAIN, "", False, "grainline", ()
        ),
        DrawnPath(polyline([Point(10, 100), Point(18, 100)]), Role.NOTCH, "", False, "notch", ()),
    )
    lying = [(-99.0, -99.0), (531.0, -99.0), (531.0, 494.0), (-99.0, 494.0)]
    return Captured(
        drawings=(DrawnSheet("piece 1", RIGHT - LEFT + 20, TOP - BOTTOM + 20, paths, ()),),
        to_table=(Affine.move(LEFT - 10, BOTTOM - 10),),
        tracings=(
            Tracing(
                (
                    Traced(
                        Kind.OUTLINE,
                        np.array([(LEFT, BOTTOM), (RIGHT, BOTTOM), (RIGHT, TOP), (LEFT, TOP)]),
                        True,
                        bridged=np.array([CLOSED]),
                    ),
                )
            ),
        ),
        accuracy=Accuracy(
            0.4,
            0.7,
            WORST,
            "at the right",
            (Part("cards, camera and print scale", 0.3),),
            "",
            lambda points: np.full(len(points), 0.4),
        ),
        doubts=(Doubt("line-left-out", "A line was left out.", (Spot(0, np.array([DOUBTED])),)),),
        solved=Solved(
            (Slanting(),),
            tuple(Lying(n, x, y, 0.0, 0.05) for n, (x, y) in enumerate(lying, 1)),
            (1.0, 1.0),
            lambda points: np.full(len(points), 0.1),
        ),
        flattened=Flattened(
            np.zeros((1, 1, 3), np.uint8),
            np.ones((1, 1), bool),
            0,
            0,
            0.25,
            np.zeros((1, 1), np.uint8),
        ),
    )
