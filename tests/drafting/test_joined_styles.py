"""Joined halves whose folds are of different lengths in different styles."""

from __future__ import annotations

import shapely

from tiler.drafting.styles import with_shared_runs
from tiler.drafting.unfold.joining import joined
from tiler.pattern.affine import Point
from tiler.pattern.model import Edge, Lies, Outline, Piece, Role, Run, styles_in
from tiler.pattern.path import polyline


def half(style: str, neck: float) -> Outline:
    """A half 60 wide on a fold that goes from (0, 0) up to its neck; the shoulder is at 120."""
    corners = [Point(0, 0), Point(0, neck), Point(60, 120), Point(60, 0)]
    ways = zip("ABCD", corners, [*corners[1:], corners[0]], strict=True)
    lies = {"A": Lies.FOLD, "D": Lies.HEM}
    return Outline(
        Role.CUT,
        tuple(Edge(k, polyline([a, b]), lies.get(k, Lies.SEWN)) for k, a, b in ways),
        style,
    )


def piece(name: str, **necks: float) -> Piece:
    return with_shared_runs(Piece(name, tuple(half(style, neck) for style, neck in necks.items())))


def folds(pieces: tuple[Piece, Piece]) -> list[Run]:
    return [run for each in pieces for run in each.runs if run.edge.lies is Lies.FOLD]


def drawn(runs: list[Run], style: str) -> shapely.MultiLineString:
    own = [run for run in runs if not run.style or style in styles_in(run.style)]
    return shapely.MultiLineString([list(run.edge.path.nodes()) for run in own])


def test_every_style_has_its_whole_fold_once() -> None:
    """Scoop: 90 in front, 80 behind. Vee: 60 in front, 70 behind. Each has the longer one drawn."""
    for names in (("Front", "Back"), ("Back", "Front")):
        both = {"Front": piece("Front", scoop=90, vee=60), "Back": piece("Back", scoop=80, vee=70)}
        runs = folds(joined(both[names[0]], both[names[1]]))
        for style, length in (("scoop", 90), ("vee", 70)):
            line = drawn(runs, style)
            assert line.length == length, names
            assert shapely.union_all(line).bounds == (0, 0, 0, length)


def test_a_half_without_styles_has_its_fold_in_all_of_them() -> None:
    both = piece("Front", scoop=90, vee=60), Piece("Back", (half("", 80),))
    runs = folds(joined(*both))
    for style, length in (("scoop", 90), ("vee", 80)):
        assert drawn(runs, style).length == length


def test_a_fold_that_is_longer_in_every_style_is_the_only_one() -> None:
    front, back = joined(piece("Front", scoop=90, vee=60), piece("Back", scoop=95, vee=70))
    assert not [run for run in front.runs if run.edge.lies is Lies.FOLD]
    assert [run for run in back.runs if run.edge.lies is Lies.FOLD]
