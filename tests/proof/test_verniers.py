"""The fine ticks at joints: what they tell of two pages has to be what the crosses tell."""

from __future__ import annotations

import math
from pathlib import Path as File

import pytest
from hypothesis import given
from hypothesis import strategies as st
from publication_builder import ORIGINS, PT, Draft

from tiler.proof import prove

#: On the sheet: the upright joint of A1 and A2 at x = 125, the level one of A1 and B1 at y = 135.
UPRIGHT, LEVEL = (125.0, 200.0), (60.0, 135.0)


def told(paper: Draft, folder: File) -> list[str]:
    verdict = prove(paper.write(folder), paper.pattern)
    return [f"{fault.code} {fault}" for fault in verdict.faults]


def ticks(
    middle: tuple[float, float],
    step: float,
    lean: float,
    side: float,
    *,
    upright: bool,
    slid: float = 0.0,
    count: int = 5,
) -> str:
    """Eleven ticks across a joint, in points; a vernier as in any handbook of measuring."""
    strokes = []
    for number in range(-count, count + 1):
        far = 4.0 if number == 0 else 2.5
        ends = []
        for y in (-0.5 * side, far * side):
            x = number * step + lean * y + slid
            px, py = (-y, x) if upright else (x, y)
            ends.append(f"{(middle[0] + px) * PT:.6f} {(middle[1] + py) * PT:.6f}")
        strokes.append(f"{ends[0]} m {ends[1]} l S")
    return " ".join(strokes)


def put(
    paper: Draft,
    name: str,
    joint: int,
    kind: int,
    at: tuple[float, float],
    step: float,
    *,
    facts: str = "",
    before: str = "",
    after: str = "",
    lean: float | None = None,
    **how: float,
) -> None:
    """One page's half of the ticks of a joint."""
    x, y = ORIGINS[name]
    drawn = ticks(
        (at[0] - x, at[1] - y),
        step,
        (kind - 1) if lean is None else lean,
        1.0 if step == 1.0 else -1.0,
        upright=joint in (1, 2),
        **how,
    )
    facts = facts or f"/Joint {joint} /Scale {kind}"
    paper.pages[name].beside += f" q 0.2 w {before} /Artifact <<{facts}>> BDC {drawn} EMC {after} Q"


def both(paper: Draft, kind: int, **how: float) -> None:
    """Ticks at two joints; the second page's halves are drawn in some other way."""
    for joint, at, (first, second) in ((1, UPRIGHT, ("A1", "A2")), (3, LEVEL, ("A1", "B1"))):
        put(paper, first, joint, kind, at, 1.0)
        put(paper, second, joint, kind, at, 0.9, **how)


@pytest.mark.parametrize("kind", [1, 2])
def test_true_ticks(paper: Draft, tmp_path: File, kind: int) -> None:
    both(paper, kind)
    assert told(paper, tmp_path) == []


@pytest.mark.parametrize("far", [-0.3, -0.02, 0.005, 0.011, 0.1, 0.9])
def test_ticks_that_are_slid(paper: Draft, tmp_path: File, far: float) -> None:
    """By as much as a tick is apart, every tick has one opposite, but not the middle one."""
    both(paper, 1, slid=far)
    texts = told(paper, tmp_path)
    if abs(far) <= 0.01:
        assert texts == []
        return
    assert texts == [
        f"ticks {names}: the ticks of joint {joint}, kind 1 are {abs(far):.3f} mm off what the "
        "crosses say"
        for joint, names in ((1, "A1 and A2"), (3, "A1 and B1"))
    ]


def test_a_page_that_is_off_takes_its_ticks_along(paper: Draft, tmp_path: File) -> None:
    """Crosses and ticks still agree: whoever tapes by either finds the same place."""
    shift = f"1 0 0 1 {0.2 * PT} 0 cm"
    put(paper, "A1", 1, 2, UPRIGHT, 1.0)
    put(paper, "A2", 1, 2, UPRIGHT, 0.9, before=shift)
    paper.pages["A2"].before = shift
    assert {text.split()[0] for text in told(paper, tmp_path)} == {"shift"}


@pytest.mark.parametrize("step", [0.95, 0.89, 1.1])
def test_ticks_with_another_step(paper: Draft, tmp_path: File, step: float) -> None:
    put(paper, "A1", 1, 1, UPRIGHT, 1.0)
    put(paper, "A2", 1, 1, UPRIGHT, step)
    (text,) = told(paper, tmp_path)
    assert text.startswith("ticks A1 and A2: the ticks of joint 1, kind 1 are ")


def test_ticks_of_one_step_on_both_pages(paper: Draft, tmp_path: File) -> None:
    put(paper, "A1", 1, 1, UPRIGHT, 1.0)
    put(paper, "A2", 1, 1, UPRIGHT, 1.0)
    assert len(told(paper, tmp_path)) == 1


def test_a_tick_that_is_missing(paper: Draft, tmp_path: File) -> None:
    put(paper, "A1", 1, 1, UPRIGHT, 1.0)
    put(paper, "A2", 1, 1, UPRIGHT, 0.9)
    gone = paper.pages["A2"].beside
    first, _, rest = gone.partition(" l S ")
    paper.pages["A2"].beside = f"{first.rpartition(' BDC ')[0]} BDC {rest}"
    assert len(told(paper, tmp_path)) == 1


@pytest.mark.parametrize(("kind", "lean"), [(1, 0.05), (2, 0.9), (2, 0.0), (3, 2.0), (0, 0.0)])
def test_ticks_that_lean_as_they_should_not(
    paper: Draft, tmp_path: File, kind: int, lean: float
) -> None:
    both(paper, kind, lean=lean)
    assert told(paper, tmp_path) == [
        f"ticks {names}: the ticks of joint {joint}, kind {kind} do not stand across a joint"
        for joint, names in ((1, "A1 and A2"), (3, "A1 and B1"))
    ]


@pytest.mark.parametrize("pages", [("A1",), ("A1", "B2"), ("A1", "A2", "B2")])
def test_ticks_on_pages_that_do_not_meet(
    paper: Draft, tmp_path: File, pages: tuple[str, ...]
) -> None:
    for name in pages:
        x, y = ORIGINS[name]
        put(paper, name, 1, 1, (x + 60, y + 70), 1.0)
    assert told(paper, tmp_path) == [
        f"ticks {' and '.join(pages)}: the ticks of joint 1, kind 1 are not on two pages side by "
        "side"
    ]


def test_ticks_of_a_joint_that_is_none(paper: Draft, tmp_path: File) -> None:
    for name, step in (("A1", 1.0), ("A2", 0.9)):
        put(paper, name, 1, 1, UPRIGHT, step, facts="/Joint 9 /Scale 1")
    assert told(paper, tmp_path) == [
        "ticks A1 and A2: the ticks of joint 9, kind 1 do not stand across a joint"
    ]


def test_ticks_that_are_there_twice(paper: Draft, tmp_path: File) -> None:
    both(paper, 1)
    put(paper, "A1", 1, 1, UPRIGHT, 1.0)
    assert told(paper, tmp_path) == ["ticks A1: the ticks of joint 1, kind 1 are there twice"]


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        ("/Clear gs", "", "do not show, or not all of them"),
        ("0.1 w", "", "do not show, or not all of them"),
        ("/OC /InWords BDC", "EMC", "hang in the layer 'Words', and would go with it"),
        ("/OC /InPagemarks BDC", "EMC", ""),
    ],
)
def test_ticks_that_do_not_show(
    paper: Draft, tmp_path: File, before: str, after: str, words: str
) -> None:
    put(paper, "A1", 1, 1, UPRIGHT, 1.0, before=before, after=after)
    put(paper, "A2", 1, 1, UPRIGHT, 0.9)
    wanted = [f"ticks A1: the ticks of joint 1, kind 1 {words}"] if words else []
    assert told(paper, tmp_path) == wanted


@given(st.integers(-4, 4))
def test_the_nth_ticks_are_in_one_line_when_pages_are_off_by_n_tenths(number: int) -> None:
    """What the proof relies on, from the numbers alone: 1.0 n = 0.9 n + 0.1 n."""
    apart = [abs(n * 1.0 - (n * 0.9 + number / 10)) for n in range(-5, 6)]
    assert apart.index(min(apart)) - 5 == number
    assert math.isclose(min(apart), 0, abs_tol=1e-12)
