"""Lines in and across one another become styles or pieces, or are asked about; never one union."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import tiler.intake.photo.capture as chain
from tests.job.captureshots import Shot, capture, left_beside, shot
from tests.photographs.blocks import BLACK, evenly
from tests.photographs.scene import Array, MarkerLine, Scene
from tests.photographs.truth import deviation
from tiler.drafting.draft import drafted
from tiler.intake.folder import read_pattern
from tiler.pattern.model import Outline

SEED = 6
#: What the chain owes a clean photo is 0.5 mm at 12 megapixels; these have 2.
NEAR = 1.0


def points_of(outline: Outline) -> Array:
    return np.array(outline.path.flattened(0.01)[:-1])


def outlines_in(folder: Path) -> list[Outline]:
    return [outline for piece in read_pattern(folder).pieces for outline in piece.outlines]


def meets(found: Array, truth: Array) -> bool:
    return deviation([(found, True)], [(truth, True)]).p95 < NEAR


# A line that joins two places of an outline.


def chord_of(scene: Scene) -> tuple[int, int]:
    count = len(scene.lines[0].points)
    return int(count * 0.15), int(count * 0.65)


def with_chord(scene: Scene) -> Scene:
    line = scene.lines[0]
    ends = line.points[list(chord_of(scene))]
    chord = MarkerLine(evenly(ends), False, line.width, line.colour, "inside")
    return replace(scene, lines=(line, chord))


@pytest.fixture(scope="module")
def chord() -> Shot:
    return shot(SEED, with_chord)


#: What the steps saw on the photo with the chord.
KEPT: dict[str, object] = {}


@pytest.fixture
def looked_at_once() -> Iterator[None]:
    """The photo is the same each time: what was seen on it is kept, only the answers differ."""
    with pytest.MonkeyPatch.context() as patch:
        for step in ("sightings", "solve", "flatten", "web_of"):
            real = getattr(chain, step)

            def once(*words: object, real: object = real, step: str = step) -> object:
                if step not in KEPT:
                    KEPT[step] = real(*words)  # type: ignore[operator]
                return KEPT[step]

            patch.setattr(chain, step, once)
        yield


@pytest.mark.usefixtures("looked_at_once")
def test_a_chord_is_asked_about_with_letters_and_what_to_type(chord: Shot, tmp_path: Path) -> None:
    told = capture(tmp_path, chord)
    assert told.returncode == 2
    assert left_beside(tmp_path) == {"smock-faces.jpg"}
    for words in (
        "smock-faces.jpg: the areas have their letters",
        "--style long=AB --style short=",
    ):
        assert words in told.stderr
    assert "--piece Front=AB" in told.stderr


@pytest.mark.usefixtures("looked_at_once")
def test_styles_are_as_they_were_said_and_share_what_is_one_line(
    chord: Shot, tmp_path: Path
) -> None:
    """And the picture that asked is taken away."""
    assert capture(tmp_path, chord).returncode == 2
    words = ("--style", "long=AB", "--style", "short=A", "--traced", "cut")
    assert capture(tmp_path, chord, *words).returncode == 0
    assert left_beside(tmp_path) == {"smock"}
    long, short = outlines_in(tmp_path / "smock")
    assert (long.style, short.style) == ("long", "short")
    line, (one, other) = chord.scene.lines[0].points, chord_of(chord.scene)
    assert meets(points_of(long), line)
    halves = (line[one : other + 1], np.vstack((line[other:], line[: one + 1])))
    assert any(meets(points_of(short), half) for half in halves)
    (piece,) = drafted(read_pattern(tmp_path / "smock")).pieces
    once = sum(run.edge.path.length for run in piece.shared)
    own = distance(line[[one, other]])
    assert once == pytest.approx(long.path.length + own, abs=4)


def distance(ends: Array) -> float:
    return float(np.hypot(*(ends[1] - ends[0])))


@pytest.mark.usefixtures("looked_at_once")
def test_one_piece_keeps_the_chord_as_a_line_inside(chord: Shot, tmp_path: Path) -> None:
    assert capture(tmp_path, chord, "--piece", "Front=AB").returncode == 0
    (piece,) = read_pattern(tmp_path / "smock").pieces
    assert piece.name == "Front"
    (outline,) = piece.outlines
    assert meets(points_of(outline), chord.scene.lines[0].points)
    assert len(piece.lines) == 1


@pytest.mark.usefixtures("looked_at_once")
@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--piece", "Front=AX"), "no such area"),
        (("--piece", "Front=A", "--piece", "Back=AB"), "named for two pieces"),
        (("--style", "long=AB", "--style", "short=AB"), "are the same areas"),
    ],
)
def test_answers_that_cannot_be_are_refused(
    chord: Shot, tmp_path: Path, words: tuple[str, ...], said: str
) -> None:
    told = capture(tmp_path, chord, *words)
    assert told.returncode == 2
    assert said in told.stderr
    assert "smock" not in left_beside(tmp_path)


# Outlines in one another, and across.


def test_outlines_of_two_colours_are_styles_named_by_colour(tmp_path: Path) -> None:
    one = shot(SEED, nested="colour")
    told = capture(tmp_path, one)
    assert told.returncode == 0
    assert "told apart by the colour" in told.stderr
    assert "--style long=" in told.stderr
    found = outlines_in(tmp_path / "smock")
    assert len(found) == len(one.scene.lines) > 1
    for line in one.scene.lines:
        assert sum(meets(points_of(outline), line.points) for outline in found) == 1


def ellipses(scene: Scene) -> Scene:
    """Two of one colour that cross in four places, within where the block was drawn."""
    points = scene.lines[0].points
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    half = np.ptp(points, axis=0).min() / 2
    turn = np.linspace(0, 2 * np.pi, 721)[:-1]
    round_about = np.column_stack((np.cos(turn), np.sin(turn)))
    return replace(
        scene,
        lines=tuple(
            MarkerLine(middle + half * round_about * size, True, 4.0, BLACK)
            for size in ((1.0, 0.66), (0.66, 1.0))
        ),
    )


def test_outlines_of_one_colour_that_cross_smoothly_are_both_there_and_told(
    tmp_path: Path,
) -> None:
    one = shot(SEED, ellipses)
    told = capture(tmp_path, one)
    assert told.returncode == 0
    assert "2 closed lines cross one another smoothly" in told.stderr
    found = outlines_in(tmp_path / "smock")
    assert len(found) == 2
    # The one is the other, turned by a right angle.
    assert all(meets(points_of(each), one.scene.lines[0].points) for each in found)


def test_outlines_of_one_colour_that_cross_at_corners_are_asked_about(tmp_path: Path) -> None:
    told = capture(tmp_path, shot(SEED, nested="crossing"))
    assert told.returncode == 2
    assert left_beside(tmp_path) == {"smock-faces.jpg"}
    assert "--style long=" in told.stderr
