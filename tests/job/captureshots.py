"""Photos of invented tables for the command, and what its pictures show."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from tests.cli.owncommand import Ended, blocksheet
from tests.photographs.arranging import Nested, random_camera, random_scene
from tests.photographs.camera import Camera
from tests.photographs.cardface import printed_bars
from tests.photographs.develop import random_taking
from tests.photographs.photograph import photograph
from tests.photographs.scene import Array, Scene

#: Colours of marks: of what is wrong, and of a gap that was closed.
WRONG, CLOSED = (255, 96, 64), (255, 120, 230)


@dataclass(frozen=True, eq=False)
class Shot:
    """A photo, and what was in front of the camera."""

    scene: Scene
    camera: Camera
    content: bytes = field(repr=False)

    def at(self, on_table: Array) -> Array:
        """True pixels of points of the flat table."""
        return self.camera.project(np.asarray(on_table, float))


def bars_of(scene: Scene) -> tuple[float, float]:
    """What the bars measure, to 0.1 mm."""
    across, up = printed_bars()
    card = scene.cards[-1]
    return round(across * card.along, 1), round(up * card.across, 1)


def shot(
    seed: int,
    edit: Callable[[Scene], Scene] = lambda scene: scene,
    *,
    width: int = 1600,
    margin: float | None = None,
    blur: float | None = None,
    shake: float = 0.0,
    cards: int | None = None,
    gaps: tuple[float, ...] = (),
    nested: Nested | None = None,
    peak_to_peak: float | None = None,
    odd_scale: float = 1.0,
) -> Shot:
    """A small photo that is not turned, so that its pixels are the camera's."""
    scene = edit(
        random_scene(
            seed,
            cards=cards,
            gaps=gaps,
            nested=nested,
            details=False,
            peak_to_peak=peak_to_peak,
            odd_scale=odd_scale,
            small=True,
        )
    )
    camera = random_camera(seed, scene, width=width, height=width * 3 // 4, margin=margin)
    usual = random_taking(seed)
    taking = replace(usual, orientation=1, shake=shake, blur=usual.blur if blur is None else blur)
    return Shot(scene, camera, photograph(scene, camera, seed, taking=taking))


def capture(
    folder: Path,
    shots: Shot | list[Shot],
    *words: str,
    bars: tuple[str, ...] | None = None,
) -> Ended:
    """Run the command on photos, for the folder `smock`; it is not to ask."""
    taken = shots if isinstance(shots, list) else [shots]
    names = [f"IMG_{number}.jpg" for number in range(1, len(taken) + 1)]
    for name, one in zip(names, taken, strict=True):
        (folder / name).write_bytes(one.content)
    if bars is None:
        across, up = bars_of(taken[0].scene)
        bars = ("--across", f"{across}mm", "--up", f"{up}mm", "--ruler", "0.5mm")
    return blocksheet(
        "capture", *names, *bars, "--out", "smock", "--traced", "stitch", *words, cwd=folder
    )


def left_beside(folder: Path) -> set[str]:
    """What lies there beside the photos."""
    return {file.name for file in folder.iterdir() if not file.name.startswith("IMG")}


def places_of(picture: Path, colour: tuple[int, int, int] = WRONG) -> NDArray[np.int64]:
    """Pixels (column, row) that have the colour of a mark."""
    with Image.open(picture) as opened:
        pixels = np.asarray(opened.convert("RGB")).astype(int)
    rows, columns = np.nonzero(np.abs(pixels - colour).max(axis=2) < 40)
    return np.column_stack((columns, rows))


def marks(picture: Path, at: Array, within: float) -> bool:
    """Whether some of a mark is so near to a place, pixels."""
    found = places_of(picture)
    return bool(len(found) and np.hypot(*(found - at).T).min() < within)
