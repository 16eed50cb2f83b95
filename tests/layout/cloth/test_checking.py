"""The checker finds what is wrong with a plan, and nothing else."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.layout.cloth.making import ALL, BACK, FLAP, POCKET, SLEEVE
from tiler.layout.cloth.checking import faults_of
from tiler.layout.cloth.model import Cloth, Laid, LayPlan, Match, Need, Part, Spread
from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Lay

#: Upright grain -> along the cloth.
ALONG = Affine(0, -1, 1, 0, 0, 0)


def laid(need: Need, at: Affine, copy: int = 1, layers: int = 1, **said: bool) -> Laid:
    ring = [at(p) for p in need.ring]
    mirrored = at.determinant < 0
    if mirrored:
        ring.reverse()
    flags = {"on_fold": False, "opened": False, **said}
    return Laid(need.piece, copy, at, mirrored, layers, outline=tuple(ring), **flags)


def plan_of(parts: tuple[Part, ...], **cloth: object) -> LayPlan:
    made = Cloth("main", 900.0, gap=2.0, **cloth)  # type: ignore[arg-type]
    used = sum(
        abs(
            sum(
                a.x * b.y - b.x * a.y
                for a, b in zip(e.outline, (*e.outline[1:], e.outline[0]), strict=True)
            )
        )
        / 2
        * (2 if e.on_fold else e.layers)
        for part in parts
        for e in part.laid
    )
    length = parts[-1].end
    return LayPlan(made, parts, length, used / (length * made.across))


def good(**cloth: object) -> LayPlan:
    """By hand: back, sleeves and pockets folded, the flap in a stretch that is opened out."""
    over = Affine(0, 1, 1, 0, 0, 0)  # mirrored: x -> y, so that the half lies above the fold
    folded = (
        laid(BACK, over, on_fold=True),
        laid(SLEEVE, ALONG.then(Affine.move(330, 270)), layers=2),
        laid(POCKET, ALONG.then(Affine.move(0, 380)), layers=2),
    )
    flap = laid(FLAP, ALONG.then(Affine.move(610, 200)))
    return plan_of(
        (Part(Spread.FOLDED, 0.0, 600.0, folded), Part(Spread.SINGLE, 605.0, 705.0, (flap,))),
        **cloth,
    )


def with_changed(plan: LayPlan, piece: str, change: Affine | None, **said: object) -> LayPlan:
    """One piece moved further, or left out."""
    parts = []
    for part in plan.parts:
        every = []
        for each in part.laid:
            if each.piece != piece:
                every.append(each)
            elif change is not None:
                at = each.at.then(change)
                ring = tuple(change(p) for p in each.outline)
                if change.determinant < 0:
                    ring = ring[::-1]
                every.append(
                    replace(each, at=at, outline=ring, mirrored=at.determinant < 0, **said)
                )
        parts.append(replace(part, laid=tuple(every)))
    return replace(plan_of(tuple(parts)), cloth=plan.cloth)


def codes(plan: LayPlan) -> set[str]:
    return {finding.code for finding in faults_of(plan, ALL)}


def test_a_good_plan_has_no_faults() -> None:
    assert faults_of(good(), ALL) == ()


@pytest.mark.parametrize(
    ("piece", "change", "code"),
    [
        ("Sleeve", Affine.move(-60, 0), "lay-overlap"),
        # 20 mm lie between the pocket and the back.
        ("Pocket", Affine.move(0, -20.5), "lay-overlap"),
        ("Pocket", Affine.move(0, -18.5), "lay-gap"),
        ("Sleeve", Affine.move(0, 200), "lay-outside"),
        ("Flap", Affine.move(-6, 0), "lay-outside"),
        # The sleeve lies 10 mm from the fold.
        ("Sleeve", Affine.move(0, -8), "lay-near-fold"),
        ("Back", Affine.move(0, 0.5), "lay-fold"),
        ("Back", Affine.scale(1.01, 1), "lay-size"),
        (
            "Flap",
            Affine.move(-650, -300).then(Affine.turn(1)).then(Affine.move(650, 300)),
            "lay-grain",
        ),
        ("Flap", Affine.scale(1, -1).then(Affine.move(0, 500)), "lay-faces"),
        ("Pocket", None, "lay-count"),
        ("Flap", None, "lay-count"),
    ],
)
def test_what_is_wrong_is_found(piece: str, change: Affine | None, code: str) -> None:
    assert code in codes(with_changed(good(), piece, change))


def test_a_piece_the_other_way_up_matters_on_cloth_with_a_nap_only() -> None:
    around = Affine.turn(180).then(Affine.move(2 * 655, 400))
    assert codes(with_changed(good(), "Flap", around)) == set()
    assert codes(with_changed(good(nap=True), "Flap", around)) == {"lay-nap"}


def test_two_layers_are_cut_of_folded_cloth() -> None:
    assert "lay-layers" in codes(with_changed(good(), "Sleeve", Affine.move(0, 0), layers=1))


def test_two_of_one_face_are_no_pair() -> None:
    single = tuple(
        laid(SLEEVE, ALONG.then(Affine.move(300 * k, 400)), copy=k + 1) for k in range(2)
    )
    plan = plan_of((Part(Spread.SINGLE, 0.0, 600.0, single),))
    assert {f.code for f in faults_of(plan, (SLEEVE,))} == {"lay-faces"}


def test_matched_points_see_the_same_place_of_the_check() -> None:
    pieces = tuple(replace(POCKET, piece=name, count=1, lay=Lay.COPIES) for name in ("A", "B"))
    match = Match("A", Point(0, 20), "B", Point(120, 50))
    for along, across, fault in ((170, 0, False), (171, 0, True), (170, 5, True)):
        two = tuple(
            laid(need, ALONG.then(Affine.move(x, 200 + y)))
            for need, x, y in zip(pieces, (0, along), (0, across), strict=True)
        )
        # A's point lies at x = 20, B's at 50 further: 200 from it, ten repeats of 20.
        plan = plan_of((Part(Spread.SINGLE, 0.0, 400.0, two),), repeat=(20.0, 40.0))
        found = {f.code for f in faults_of(plan, pieces, (match,))}
        assert found == ({"lay-check"} if fault else set())
