"""The steps hand on to one another, and what goes wrong on the table is shown on the photos."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

import tiler.intake.photo.capture as chain
from tests.output.capture.invented import Slanting, in_photo, invented, photo
from tiler.intake.drawn import DrawnPath
from tiler.intake.photo.camera.printed import Printed
from tiler.intake.photo.capture import MARGIN, capture, spots_of
from tiler.intake.photo.lines.asking import Asked
from tiler.intake.photo.model import Points
from tiler.intake.photo.problem import CaptureError, Doubts, TableSpot
from tiler.pattern.affine import Point
from tiler.pattern.path import polyline

SQUARE = [Point(-40, 120), Point(260, 120), Point(260, 320), Point(-40, 320)]
PRINTED = Printed(1.0, 1.0, 0.001)


class Elsewhere(Slanting):
    """A camera that sees the table far beside the picture."""

    def to_photo(self, on_table: Points) -> Points:
        return super().to_photo(on_table) + 5000.0


@pytest.fixture
def stubbed(monkeypatch: pytest.MonkeyPatch) -> Callable[[str, object], None]:
    """Every step gives what was made up by hand; any of them can be changed."""
    made = invented()
    outline = DrawnPath(polyline(SQUARE, closed=True), None, "", False, "outline", ())

    def web(_flat: object, _solved: object, _photos: object, doubts: Doubts) -> None:
        doubts.add("seen", "Something.", table=(TableSpot(np.array([(300.0, 200.0)])),))

    steps: dict[str, object] = {
        "sightings": lambda *_: (),
        "solve": lambda *_: made.solved,
        "flatten": lambda *_: made.flattened,
        "web_of": web,
        "tracings_of": lambda *_: made.tracings,
        "fitted": lambda _: (outline,),
        "flatness_of": lambda *_: None,
        "accuracy_of": lambda *_: made.accuracy,
    }
    for name, step in steps.items():
        monkeypatch.setattr(chain, name, step)
    return lambda name, step: monkeypatch.setattr(chain, name, step)


def test_a_drawing_has_room_round_it_and_the_way_back_to_the_table(
    stubbed: Callable[[str, object], None],
) -> None:
    """10 mm on each side; a piece of 300 x 200 mm gets a page of 320 x 220 mm."""
    captured = capture([photo()], PRINTED, Asked())
    (sheet,), (to_table,) = captured.drawings, captured.to_table
    assert (sheet.width, sheet.height) == (320, 220)
    assert (sheet.paths[0].path.bounds.left, sheet.paths[0].path.bounds.bottom) == (MARGIN, MARGIN)
    assert [to_table(p) for p in list(sheet.paths[0].path.nodes())[:4]] == SQUARE


def test_doubts_about_the_table_get_their_places_on_the_photo(
    stubbed: Callable[[str, object], None],
) -> None:
    (doubt,) = capture([photo()], PRINTED, Asked()).doubts
    (spot,) = doubt.spots
    assert np.allclose(spot.points, in_photo((300.0, 200.0)))


@pytest.mark.parametrize("step", ["flatten", "web_of", "tracings_of", "fitted", "flatness_of"])
def test_an_error_about_the_table_gets_its_places_on_the_photo(
    stubbed: Callable[[str, object], None], step: str
) -> None:
    """Whichever step it comes from, once the cameras are known."""

    def refuse(*_: object) -> None:
        place = TableSpot(np.array([(100.0, 100.0), (200.0, 100.0)]), False, "gap")
        raise CaptureError("open", remedy="Close it.", table_spots=(place,), code="gap")

    stubbed(step, refuse)
    with pytest.raises(CaptureError, match="open") as told:
        capture([photo()], PRINTED, Asked())
    (spot,) = told.value.spots
    assert (spot.label, spot.closed, told.value.code) == ("gap", False, "gap")
    assert np.allclose(spot.points, in_photo((100.0, 100.0), (200.0, 100.0)))


def test_each_step_is_told_to_who_listens(stubbed: Callable[[str, object], None]) -> None:
    told: list[tuple[str, int, int]] = []
    capture([photo()], PRINTED, Asked(), lambda *step: told.append(step))
    assert [done for _, done, _ in told] == list(range(7))
    assert {total for *_, total in told} == {7}


def test_places_are_shown_on_the_photos_that_see_them() -> None:
    """On none when no photo does; on the one that shows most of it otherwise."""
    solved = replace(invented().solved, cameras=(Elsewhere(), Slanting()))
    inside = TableSpot(np.array([(100.0, 100.0)]))
    assert [s.photo for s in spots_of([inside], [photo(), photo()], solved)] == [1]
    outside = TableSpot(np.array([(9000.0, 100.0)]))
    assert spots_of([outside], [photo(), photo()], solved) == ()
