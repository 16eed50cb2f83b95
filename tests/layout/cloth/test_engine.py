"""The engine beside our own search: what it lays holds, and what it cannot lay is left to us."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from tests.layout.cloth.instances import instance
from tiler.layout.cloth import engine as module
from tiler.layout.cloth.engine import Engine
from tiler.layout.cloth.forms import Form, Spot, Thing, Ties
from tiler.layout.cloth.ring import Floats, area_of, moved
from tiler.layout.cloth.stretch import STAGES, lay
from tiler.pattern.affine import Affine

ROOM = (10.0, 510.0)
WEDGE = np.array([(0.0, 0.0), (200.0, 0.0), (200.0, 60.0), (40.0, 160.0)])


def thing(ring: Floats, *, gap: float = 2.0, turns: tuple[float, ...] = (0.0, 180.0)) -> Thing:
    forms = []
    for degrees in turns:
        turn = Affine.turn(degrees)
        low = moved(ring, turn).min(axis=0)
        at = turn.then(Affine.move(-float(low[0]), -float(low[1])))
        forms.append(Form(at, moved(ring, at), gap))
    return Thing(tuple(forms), abs(area_of(ring)))


def bodies(things: list[Thing], spots: list[Spot]) -> list[shapely.Polygon]:
    return [
        shapely.Polygon(each.forms[spot.form].outline + np.array([spot.x, spot.y]))
        for each, spot in zip(things, spots, strict=True)
    ]


def run(things: list[Thing], seconds: int = 1) -> list[Spot] | None:
    engine = Engine(things, ROOM, seconds, 1)
    try:
        return engine.found()
    finally:
        engine.end()


def test_things_lie_inside_and_apart_from_the_beginning_on() -> None:
    """Judged by shapely."""
    one, other = thing(WEDGE), thing(np.array([(0.0, 0.0), (120.0, 0.0), (60.0, 150.0)]), gap=5.0)
    things = [one, other, one, other, one, one]
    spots = run(things)
    assert spots is not None
    laid = bodies(things, spots)
    assert min(body.bounds[0] for body in laid) == pytest.approx(0, abs=1e-6)
    for number, body in enumerate(laid):
        assert body.bounds[1] >= ROOM[0] - 1e-3
        assert body.bounds[3] <= ROOM[1] + 1e-3
        for second in range(number):
            gap = (things[number].forms[0].gap + things[second].forms[0].gap) / 2
            assert body.distance(laid[second]) >= gap - 1e-3


def test_a_thing_that_lies_face_down_stays_so() -> None:
    down = moved(WEDGE, Affine(1, 0, 0, -1, 0, 160))
    things = [thing(WEDGE), thing(down), thing(WEDGE), thing(down)]
    spots = run(things)
    assert spots is not None
    for each, spot in zip(things, spots, strict=True):
        assert 0 <= spot.form < len(each.forms)


@pytest.mark.parametrize(
    "things",
    [
        [thing(WEDGE)],
        [thing(np.array([(0.0, 0.0), (90.0, 0.0), (90.0, 499.5), (0.0, 499.5)])), thing(WEDGE)],
        [
            thing(WEDGE),
            Thing((Form(Affine(), WEDGE, 2.0, Ties(across=(0.0, 0.0))),), area_of(WEDGE)),
        ],
        [thing(WEDGE), Thing((Form(Affine(), WEDGE[[0, 2, 1, 3]], 0.0),), 1.0)],
    ],
    ids=["one alone", "as high as the strip", "bound to a place", "crossing itself"],
)
def test_what_it_cannot_lay_it_is_not_asked(things: list[Thing]) -> None:
    engine = Engine(things, ROOM, 1, 1)
    assert engine.process is None
    assert engine.found() is None


def test_when_its_process_ends_with_nothing_our_own_search_goes_on(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """As it does where the engine panics at what it was given, which is no exception there."""
    monkeypatch.setattr(module, "_body", lambda form: form.outline[[0, 2, 1, 3]])
    assert run([thing(WEDGE), thing(WEDGE)]) is None


def test_a_wrong_answer_is_not_taken() -> None:
    things = [thing(WEDGE)] * 2
    engine = Engine(things, ROOM, 0, 1)
    engine._sort()
    for placed in (
        [(0, 0.0, 0.0, 20.0), (0, 0.0, 5.0, 25.0)],
        [(0, 0.0, 0.0, 20.0), (0, 0.0, 0.0, 480.0)],
    ):
        spots = engine._spots(placed)
        assert spots is not None
        assert not engine._holds(spots)
    assert engine._spots([(0, 0.0, 0.0, 20.0)]) is None
    assert engine._spots([(0, 90.0, 0.0, 20.0), (0, 0.0, 0.0, 300.0)]) is None


def test_an_interrupt_keeps_our_own_plan_and_ends_the_engine(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def interrupted(_self: Engine) -> None:
        raise KeyboardInterrupt

    ended: list[bool] = []
    end = Engine.end
    monkeypatch.setattr(Engine, "found", interrupted)
    monkeypatch.setattr(Engine, "end", lambda self: (end(self), ended.append(True))[1])
    lain = lay([thing(WEDGE)] * 5, ROOM, STAGES["quick"], 1, None, 30)
    assert lain.stopped
    assert ended


def test_beside_the_engine_no_plan_is_longer_than_without() -> None:
    """Instances from the literature, see data/README.md."""
    things, strip = instance("albano")
    alone = lay(things, (0.0, strip), STAGES["quick"], 1)
    both = lay(things, (0.0, strip), STAGES["quick"], 1, None, 2)
    assert both.length <= alone.length


def test_a_quick_search_never_asks_it() -> None:
    assert module.SECONDS["quick"] == 0
