"""How near captured outlines are to what was drawn, over photos of invented tables."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from tests.bench.captured import Outcome, captured
from tests.photographs.arranging import random_camera, random_scene
from tests.photographs.cardface import printed_bars
from tests.photographs.photograph import photograph
from tests.photographs.scene import Scene
from tests.photographs.truth import Deviations, deviation

#: Pixels across and down for megapixels.
SIZES = {"12": (4000, 3000), "3": (2000, 1500)}
#: Seeds of photos under stress begin here.
STRESSED = 1000
#: How well a person reads a tape, as a standard deviation, and how finely it is written down, mm.
_READS, _WRITES = 0.12, 0.1


@dataclass(frozen=True, eq=False)
class Row:
    """One photo.

    Args:
        seed: From `STRESSED` on with waves and lifted cards.
        tilt: Degrees.
        scene: What was drawn.
        outcome: What came of it.
        off: How far it is off; None where it was refused.
        made: CPU seconds that the photo took to make.
    """

    seed: int
    tilt: float
    scene: Scene
    outcome: Outcome
    off: Deviations | None
    made: float

    @property
    def covered(self) -> bool:
        """Whether the stated figure is as large as the true one."""
        return self.off is not None and self.outcome.stated >= self.off.p95


def measured_bars(scene: Scene, seed: int) -> tuple[float, float]:
    """What a person reads off the bars beside the cards of a scene."""
    chance = np.random.default_rng([seed, 77])
    card = scene.cards[-1]
    across, up = (
        round((bar * scale + chance.normal(0, _READS)) / _WRITES) * _WRITES
        for bar, scale in zip(printed_bars(), (card.along, card.across), strict=True)
    )
    return round(across, 1), round(up, 1)


def one(seed: int, size: tuple[int, int], folder: Path) -> Row:
    """Make a photo, or take the one that is there, and capture it."""
    scene = random_scene(seed, seed >= STRESSED)
    camera = random_camera(seed, scene, width=size[0], height=size[1])
    file = folder / f"{size[0]}-{seed}.jpg"
    began = time.process_time()
    if not file.exists():
        file.write_bytes(photograph(scene, camera, seed))
    made = time.process_time() - began
    outcome = captured([file], measured_bars(scene, seed))
    off = None
    if outcome.outlines:
        truth = [(line.points, True) for line in scene.of("outline")]
        off = deviation([line for line, _ in outcome.outlines], truth)
    return Row(seed, camera.tilt, scene, outcome, off, made)


def show(row: Row) -> None:
    """One line of the report."""
    got, off = row.outcome, row.off
    start = f"  {row.seed:>5}{row.tilt:>6.1f}{len(row.scene.cards):>4}"
    end = f"{got.seconds:>8.1f}{got.peak:>7.0f}"
    if off is None:
        print(
            f"{start}  refused {end}  {' '.join((got.refused or 'no outline').split())[:150]}",
            flush=True,
        )
        return
    held = "yes" if row.covered else "NO"
    doubts = " ".join(got.doubts)
    print(
        f"{start}{off.p95:>8.3f}{off.worst:>8.3f}{got.stated:>8.2f}{held:>5}"
        f"{1e4 * (1 / off.scale - 1):>8.1f}{end}  {doubts}",
        flush=True,
    )


def summary(name: str, rows: Sequence[Row], wanted_p95: float, wanted_worst: float | None) -> None:
    """What the photos of one kind say together."""
    told = [row for row in rows if row.off is not None]
    if not told:
        print(f"  {name}: none of {len(rows)} photos was captured")
        return
    offs = [row.off for row in told if row.off is not None]
    pooled = float(np.percentile(np.concatenate([off.distances for off in offs]), 95))
    worst = max(off.worst for off in offs)
    covered = sum(row.covered for row in told)
    bound = f", wanted {wanted_worst}" if wanted_worst else ""
    over = sum(off.p95 > wanted_p95 for off in offs)
    print(
        f"  {name}: {len(told)} of {len(rows)} photos captured; p95 of all {pooled:.3f} mm "
        f"(wanted {wanted_p95}; {over} photos over it, the largest "
        f"{max(off.p95 for off in offs):.3f}); worst {worst:.3f} mm{bound}; "
        f"stated covers {100 * covered / len(told):.0f} % (wanted 90); "
        f"at most {max(row.outcome.seconds for row in told):.1f} s CPU and "
        f"{max(row.outcome.peak for row in told):.0f} MiB"
    )


def report(
    photos: int = 20, size: str = "12", keep: Path | None = None, seeds: Sequence[int] = ()
) -> None:
    """Print the figures.

    Args:
        photos: So many without stress, and so many with.
        size: Megapixels, a key of `SIZES`.
        keep: Where photos are kept, and taken from when they are there; None for nowhere.
        seeds: These instead.
    """
    wanted = [*seeds] or [*range(1, photos + 1), *range(STRESSED + 1, STRESSED + photos + 1)]
    print(f"capturing photos of {size} megapixels; seeds over {STRESSED} are stressed")
    print("   seed  tilt  cards   p95   worst  stated  held  scale/10⁴   CPU s   MiB  doubts")
    rows = []
    with TemporaryDirectory() as scratch:
        folder = keep or Path(scratch)
        folder.mkdir(parents=True, exist_ok=True)
        for seed in wanted:
            rows.append(one(seed, SIZES[size], folder))
            show(rows[-1])
    clean = [row for row in rows if row.seed < STRESSED]
    stressed = [row for row in rows if row.seed >= STRESSED]
    if clean:
        summary("clean", clean, 0.5, 1.2)
    if stressed:
        summary("waves 3 mm and cards lifted 1 mm", stressed, 1.0, None)
