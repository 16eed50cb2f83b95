"""What a photo cannot be used for is refused in words and drawn on the photo; no folder is left.

The photos, and where things truly are on them, come from `tests/photographs`, which shares no code
with what reads them.
"""

from __future__ import annotations

import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.cli.owncommand import Ended
from tests.job.captureshots import CLOSED, Shot, capture, left_beside, marks, places_of, shot
from tests.photographs.cardface import printed_bars
from tests.photographs.ink import distances
from tests.photographs.scene import Array, CardOnTable, Lift, MarkerLine, Scene

SEED = 6
PICTURE = "smock-problem.jpg"


@pytest.fixture(scope="session")
def plain() -> Shot:
    return shot(SEED)


def refused(told: Ended, folder: Path, *said: str) -> Path:
    """The picture of a refusal: it is there and named, and nothing else is left."""
    assert told.returncode == 2, told.stdout
    for words in said:
        assert words in told.stderr
    assert f"Look at {PICTURE}" in told.stderr
    assert left_beside(folder) == {PICTURE}
    return folder / PICTURE


def gap_of(line: MarkerLine) -> Array:
    """The middle of the only gap."""
    ring = np.vstack((line.points, line.points[:1]))
    middle = sum(line.gaps[0]) / 2
    along = distances(ring)
    return np.array([np.interp(middle, along, ring[:, axis]) for axis in (0, 1)])


def middle_of(card: CardOnTable) -> Array:
    return card.to_table(np.array([84.0, 52.5]))


def rim_seen(one: Shot, picture: Path, card: CardOnTable) -> None:
    """A mark stands on each side of a card: its cut line, 6 mm off the squares."""
    for corner in ((84.0, -6.0), (84.0, 111.0), (-6.0, 52.5), (174.0, 52.5)):
        assert marks(picture, one.at(card.to_table(np.array(corner))), 12.0)


# Gaps: closed up to 6 mm and told, else refused.


def test_a_gap_of_5_mm_is_closed_told_with_its_length_and_ringed(tmp_path: Path) -> None:
    one = shot(SEED, gaps=(5.0,))
    told = capture(tmp_path, one)
    assert told.returncode == 0
    assert left_beside(tmp_path) == {"smock"}
    (line,) = (words for words in told.stderr.splitlines() if "gap of" in words)
    said = float(line.split("gap of ")[1].split(" mm")[0])
    assert said == pytest.approx(5.0, abs=0.7)
    assert len(places_of(tmp_path / "smock" / "capture.jpg", CLOSED)) > 30


def test_a_gap_of_9_mm_is_refused_and_ringed(tmp_path: Path) -> None:
    one = shot(SEED, gaps=(9.0,))
    picture = refused(capture(tmp_path, one), tmp_path, "a gap of 9 mm", "Draw the gap closed")
    away = np.hypot(*(places_of(picture) - one.at(gap_of(one.scene.lines[0]))).T)
    assert len(away) > 50
    assert 8.0 < away.min() <= away.max() < 40.0, "a ring that leaves the gap to be seen"


# Lines that are not wholly shown.


def test_a_line_that_runs_out_of_the_picture_is_refused_where_it_does(
    plain: Shot, tmp_path: Path
) -> None:
    """The photo as somebody crops it: 30 pixels of the outline are gone, and three cards stay."""
    one, line = cropped(plain)
    picture = refused(capture(tmp_path, one), tmp_path, "cropped too tight", "all of the lines")
    with Image.open(io.BytesIO(one.content)) as photo:
        seen = ((line >= 0) & (line < photo.size)).all(axis=1)
    ends = line[seen & ~(np.roll(seen, 1) & np.roll(seen, -1))]
    assert len(ends) >= 2
    assert all(marks(picture, place, 40.0) for place in ends)


def cropped(one: Shot) -> tuple[Shot, Array]:
    """The photo cut through the outline, and the outline's pixels on it."""
    line = one.at(one.scene.lines[0].points)
    low, high = line.min(axis=0) + 30, line.max(axis=0) - 30
    square = np.array([(-6.0, -6.0), (174.0, -6.0), (174.0, 111.0), (-6.0, 111.0)])
    rims = [one.at(card.to_table(square)) for card in one.scene.cards]
    wide, high_px = one.camera.width, one.camera.height
    for box in (
        (low[0], 0, wide, high_px),
        (0, low[1], wide, high_px),
        (0, 0, high[0], high_px),
        (0, 0, wide, high[1]),
    ):
        left, top, right, bottom = (int(side) for side in box)
        inside = [((rim > (left, top)) & (rim < (right, bottom))).all() for rim in rims]
        if sum(inside) >= 3:
            file = io.BytesIO()
            with Image.open(io.BytesIO(one.content)) as photo:
                photo.crop((left, top, right, bottom)).save(file, "JPEG", quality=95)
            return replace(one, content=file.getvalue()), line - (left, top)
    raise AssertionError("every crop takes three cards away")


def test_a_card_over_the_line_is_refused_where_it_lies(tmp_path: Path) -> None:
    def over(scene: Scene) -> Scene:
        x, y = scene.lines[0].points[300]
        card = replace(scene.cards[0], x=float(x) - 80, y=float(y) - 50, turn=0.0)
        return replace(scene, cards=(card, *scene.cards[1:]))

    one = shot(SEED, over)
    picture = refused(capture(tmp_path, one), tmp_path, "a card covers the line", "Move the card")
    on_card = one.scene.cards[0].to_card(one.scene.lines[0].points)
    under = ((on_card > -6) & (on_card < (174, 111))).all(axis=1)
    ends = one.scene.lines[0].points[~under & (np.roll(under, 1) | np.roll(under, -1))]
    assert len(ends) >= 2
    assert all(marks(picture, one.at(place), 40.0) for place in ends)


# Cards.


def test_two_cards_are_refused_and_those_that_count_are_shown(tmp_path: Path) -> None:
    one = shot(SEED, cards=2)
    picture = refused(capture(tmp_path, one), tmp_path, "at least 3 are needed")
    for card in one.scene.cards:
        rim_seen(one, picture, card)


def test_three_cards_will_do_with_a_doubt(tmp_path: Path) -> None:
    told = capture(tmp_path, shot(SEED, cards=3))
    assert told.returncode == 0
    assert "only three cards" in told.stderr


def test_no_cards_are_refused(tmp_path: Path) -> None:
    one = shot(SEED, lambda scene: replace(scene, cards=()))
    bars = ("--across", "190mm", "--up", "240mm")
    refused(capture(tmp_path, one, bars=bars), tmp_path, "no target card", "blocksheet targets")


def test_a_card_of_another_print_is_refused_and_outlined(tmp_path: Path) -> None:
    one = shot(SEED, odd_scale=1.03)
    odd = one.scene.cards[0]
    picture = refused(capture(tmp_path, one), tmp_path, f"card {odd.number} seems", "larger")
    rim_seen(one, picture, odd)
    for card in one.scene.cards[1:]:
        assert not marks(picture, one.at(middle_of(card)), 60.0)


def test_a_card_that_curls_up_by_8_mm_is_refused_and_outlined(tmp_path: Path) -> None:
    def curled(scene: Scene) -> Scene:
        card = replace(scene.cards[0], lift=8.0, manner=Lift.CURL)
        return replace(scene, cards=(card, *scene.cards[1:]))

    one = shot(SEED, curled)
    odd = one.scene.cards[0]
    picture = refused(capture(tmp_path, one), tmp_path, f"card {odd.number}", "flat")
    assert marks(picture, one.at(odd.to_table(np.array([84.0, -6.0]))), 20.0)


# Photos that are not sharp, and paper that shows nothing or does not lie flat.


@pytest.mark.parametrize(("blur", "shake"), [(5.0, 0.0), (2.5, 0.0), (0.7, 6.0)])
def test_a_photo_out_of_focus_or_shaken_is_refused_for_that(
    tmp_path: Path, blur: float, shake: float
) -> None:
    told = capture(tmp_path, shot(SEED, blur=blur, shake=shake))
    refused(told, tmp_path, "Hold the camera still")
    assert "blurred" in told.stderr or "out of focus" in told.stderr


def test_paper_without_ink_is_refused_though_the_floor_has_seams(tmp_path: Path) -> None:
    told = capture(tmp_path, shot(SEED, lambda scene: replace(scene, lines=())))
    refused(told, tmp_path, "no traced line is seen whole", "dark marker")


def test_paper_that_waves_by_15_mm_is_refused_or_told(tmp_path: Path) -> None:
    told = capture(tmp_path, shot(3, peak_to_peak=15.0))
    assert "wave" in told.stderr
    assert "mooth" in told.stderr


# Bars that cannot be, or that the photo contradicts.

ACROSS, UP = printed_bars()


@pytest.mark.parametrize(
    ("across", "up", "said"),
    [
        (f"{ACROSS / 25.4:.2f}mm", f"{UP / 25.4:.2f}mm", "unit is probably wrong"),
        (f"{ACROSS}mm", f"{ACROSS}mm", "too far from 100 %"),
        (f"{UP}mm", f"{ACROSS}mm", "probably swapped"),
        ("168mm", f"{UP}mm", "the squares of a card"),
    ],
)
def test_bars_that_cannot_be_are_refused_before_the_photo_is_looked_at(
    plain: Shot, tmp_path: Path, across: str, up: str, said: str
) -> None:
    told = capture(tmp_path, plain, bars=("--across", across, "--up", up))
    assert told.returncode == 2
    assert said in told.stderr
    assert left_beside(tmp_path) == set()


@pytest.mark.parametrize("wrong", ["across", "up"])
def test_a_bar_misread_by_2_per_cent_contradicts_the_photo(
    plain: Shot, tmp_path: Path, wrong: str
) -> None:
    card = plain.scene.cards[0]
    across = ACROSS * card.along * (1.02 if wrong == "across" else 1)
    up = UP * card.across * (1.02 if wrong == "up" else 1)
    told = capture(tmp_path, plain, bars=("--across", f"{across:.1f}mm", "--up", f"{up:.1f}mm"))
    assert told.returncode == 2
    assert "bars do not go together" in told.stderr
    assert left_beside(tmp_path) == set()


def test_only_one_bar_will_do_and_is_told(plain: Shot, tmp_path: Path) -> None:
    """And what an earlier try has left beside the folder goes; a file of others stays."""
    bare = io.BytesIO()
    Image.new("RGB", (800, 600), (230, 220, 200)).save(bare, "JPEG")
    before = capture(tmp_path, replace(plain, content=bare.getvalue()))
    assert before.returncode == 2
    assert left_beside(tmp_path) == {PICTURE}
    (tmp_path / "smock-problem-2.jpg").write_bytes(b"mine")
    card = plain.scene.cards[0]
    told = capture(tmp_path, plain, bars=("--across", f"{ACROSS * card.along:.1f}mm"))
    assert told.returncode == 0
    assert "Only one bar was measured" in told.stderr
    assert left_beside(tmp_path) == {"smock", "smock-problem-2.jpg"}
    assert (tmp_path / "smock-problem-2.jpg").read_bytes() == b"mine"
