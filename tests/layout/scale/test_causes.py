"""Wrong settings are named, put right in words, and never taken for the printer's own error.

What each setting does to a page is worked out here anew, from the sizes of papers: ISO 216 (A3, A4,
A5) and ASME Y14.1 (8.5 x 11 in, 11 x 17 in); Legal is 8.5 x 14 in (common practice, no source).
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.layout.scale.simulated import read_by_hand, rounded
from tiler.layout.papers import PAPERS, find_paper
from tiler.layout.scale import (
    REMEDIES,
    Judgement,
    Reading,
    Rule,
    Setting,
    Verdict,
    cause_in_words,
    causes_for,
    judge,
)

INCH = 25.4
SIZES = {
    "a3": (297.0, 420.0),
    "a4": (210.0, 297.0),
    "a5": (148.0, 210.0),
    "letter": (8.5 * INCH, 11 * INCH),
    "legal": (8.5 * INCH, 14 * INCH),
    "tabloid": (11 * INCH, 17 * INCH),
}
#: Bars of the pages, short side first: any that fit would do.
BARS = {"a4": (180.0, 270.0), "letter": (180.0, 250.0), "a3": (270.0, 390.0)}


def _sides(page: str, paper: str) -> zip[tuple[float, float]]:
    return zip(SIZES[page], SIZES[paper], strict=True)


def fitted(page: str, paper: str, margin: float = 0.0) -> tuple[float, float]:
    """A whole page put as large as it goes inside the margins of a paper."""
    ratios = [(there - 2 * margin) / here for here, there in _sides(page, paper)]
    return min(ratios), min(ratios)


def stretched(page: str, paper: str, margin: float = 0.0) -> tuple[float, float]:
    across, up = ((t - 2 * margin) / h for h, t in _sides(page, paper))
    return across, up


def even(ratio: float) -> tuple[float, float]:
    return ratio, ratio


#: What was set, what it does to lengths across and up, and the kind that must be named.
SETTINGS = {
    "A4 page fitted to Letter": ("a4", fitted("a4", "letter"), Setting.FITTED),
    "A4 page fitted to Letter inside 4.2 mm": (
        "a4",
        fitted("a4", "letter", 4.2),
        Setting.FITTED,
    ),
    "A4 page fitted to Letter inside 1/4 in": (
        "a4",
        fitted("a4", "letter", INCH / 4),
        Setting.FITTED,
    ),
    "A4 page fitted to Letter inside 1/2 in": (
        "a4",
        fitted("a4", "letter", INCH / 2),
        Setting.FITTED,
    ),
    "Letter page fitted to A4": ("letter", fitted("letter", "a4"), Setting.FITTED),
    "Letter page fitted to A4 inside 3 mm": ("letter", fitted("letter", "a4", 3), Setting.FITTED),
    "Letter page fitted to A4 inside 5 mm": ("letter", fitted("letter", "a4", 5), Setting.FITTED),
    "Letter page fitted to A4 inside 10 mm": (
        "letter",
        fitted("letter", "a4", 10),
        Setting.FITTED,
    ),
    "A4 page shrunk to inside 3 mm": ("a4", fitted("a4", "a4", 3), Setting.SHRUNK),
    "A4 page shrunk to inside 4.2 mm": ("a4", fitted("a4", "a4", 4.2), Setting.SHRUNK),
    "A4 page shrunk to inside 5 mm": ("a4", fitted("a4", "a4", 5), Setting.SHRUNK),
    "A4 page shrunk to inside 10 mm": ("a4", fitted("a4", "a4", 10), Setting.SHRUNK),
    "Letter page shrunk to inside 1/4 in": (
        "letter",
        fitted("letter", "letter", INCH / 4),
        Setting.SHRUNK,
    ),
    "Letter page shrunk to inside 1/2 in": (
        "letter",
        fitted("letter", "letter", INCH / 2),
        Setting.SHRUNK,
    ),
    "A4 page fitted to A3": ("a4", fitted("a4", "a3"), Setting.FITTED),
    "A3 page fitted to A4": ("a3", fitted("a3", "a4"), Setting.FITTED),
    "A4 page fitted to A5": ("a4", fitted("a4", "a5"), Setting.FITTED),
    "A4 page pulled over Letter": ("a4", stretched("a4", "letter"), Setting.STRETCHED),
    "A4 page pulled over A4 inside 4.2 mm": (
        "a4",
        stretched("a4", "a4", 4.2),
        Setting.STRETCHED,
    ),
    "borderless, 2 mm over each side": (
        "a4",
        even((210 + 2 * 2) / 210),
        Setting.BORDERLESS,
    ),
    "borderless, 3 mm over each side": (
        "letter",
        even((8.5 * INCH + 2 * 3) / (8.5 * INCH)),
        Setting.BORDERLESS,
    ),
    "two pages on a sheet of A4": ("a4", even(148.5 / 210), Setting.SEVERAL),
    "four pages on a sheet": ("a4", even(0.5), Setting.SEVERAL),
    "72 dots to the inch shown at 96": ("a4", even(72 / 96), Setting.DOTS),
    "96 dots to the inch shown at 72": ("a4", even(96 / 72), Setting.DOTS),
    "90 dots to the inch shown at 96": ("a4", even(90 / 96), Setting.DOTS),
    "inches taken for 25 mm": ("a4", even(25 / 25.4), Setting.ROUND_INCH),
    **{
        f"{percent} % typed": ("a4", even(percent / 100), Setting.PERCENTAGE)
        for percent in (71, 83, 90, 92, 94, 95, 97, 98, 105, 110, 141)
    },
}
each_setting = pytest.mark.parametrize("what", SETTINGS)


def measured(page: str, scale: tuple[float, float], division: float) -> Judgement:
    bars = BARS[page]
    rule = Rule(division)
    across, up = (
        Reading(bar, rounded(bar * s, division), rule) for bar, s in zip(bars, scale, strict=True)
    )
    return judge(across, up, find_paper(page))


@pytest.mark.parametrize("division", [0.5, 1.0])
@each_setting
def test_every_wrong_setting_is_named(what: str, division: float) -> None:
    page, scale, setting = SETTINGS[what]
    found = measured(page, scale, division)
    assert setting in {match.setting for match in found.matches}
    assert len(found.matches) <= 5
    # Near the limit of 1.5 % the reading decides whether it might be the printer.
    far = max(abs(s - 1) for s in scale) > 0.018
    assert found.verdict in (
        (Verdict.WRONG_SETTING,) if far else (Verdict.WRONG_SETTING, Verdict.ASK)
    )


@pytest.mark.parametrize("division", [0.5, 1.0])
def test_it_is_named_however_a_hand_shakes(division: float) -> None:
    """Read 60 times each, by a normal error of a quarter of a division at both ends.

    One setting in a hundred is ruled out by chance (99 %).
    """
    rng = np.random.default_rng(31)
    named = readings = 0
    rule = Rule(division)
    for page, scale, setting in SETTINGS.values():
        if min(abs(s - 1) for s in scale) < 0.02:
            continue
        read = [
            read_by_hand(np.full(60, b * s), division, rng)
            for b, s in zip(BARS[page], scale, strict=True)
        ]
        for pair in zip(*read, strict=True):
            across, up = (
                Reading(bar, float(length), rule)
                for bar, length in zip(BARS[page], pair, strict=True)
            )
            found = judge(across, up, find_paper(page))
            named += setting in {match.setting for match in found.matches}
            readings += 1
    assert named / readings >= 0.99


@each_setting
def test_a_fine_rule_puts_it_among_the_first_three(what: str) -> None:
    page, scale, setting = SETTINGS[what]
    assert setting in [match.setting for match in measured(page, scale, 0.5).matches][:3]


@pytest.mark.parametrize(
    "what",
    [
        "A4 page fitted to Letter",
        "A4 page fitted to Letter inside 4.2 mm",
        "A4 page shrunk to inside 3 mm",
        "A4 page shrunk to inside 4.2 mm",
        "A4 page fitted to A3",
        "A4 page pulled over Letter",
        "borderless, 2 mm over each side",
        "72 dots to the inch shown at 96",
        "four pages on a sheet",
        "83 % typed",
        "105 % typed",
    ],
)
def test_one_that_stands_apart_comes_first(what: str) -> None:
    page, scale, setting = SETTINGS[what]
    assert measured(page, scale, 0.5).matches[0].setting is setting


def test_the_margin_that_fits_is_named() -> None:
    page, scale, _ = SETTINGS["A4 page shrunk to inside 4.2 mm"]
    (shrunk,) = (m for m in measured(page, scale, 0.5).matches if m.setting is Setting.SHRUNK)
    assert "4.2 mm" in cause_in_words(shrunk)
    assert "6.35" not in cause_in_words(shrunk)


def test_those_that_a_rule_cannot_tell_apart_are_all_named() -> None:
    """An A4 page on Letter, 0.9407, and 6.35 mm margins on A4, 0.9395, and 94 %: 0.2 mm apart."""
    found = measured("a4", fitted("a4", "letter"), 0.5)
    assert {Setting.FITTED, Setting.SHRUNK, Setting.PERCENTAGE} <= {
        match.setting for match in found.matches
    }


@pytest.mark.parametrize("setting", Setting)
def test_each_kind_says_how_it_is_put_right(setting: Setting) -> None:
    assert REMEDIES[setting].endswith(".")
    assert REMEDIES[setting][0].isupper()


@pytest.mark.parametrize("paper", ["a0", "a3", "a4", "a5", "letter", "legal", "tabloid"])
def test_every_paper_has_its_causes_and_each_has_words(paper: str) -> None:
    from tiler.layout.scale import Match

    causes = causes_for(PAPERS[paper])
    assert len(causes) > 40
    for cause in causes:
        words = cause_in_words(Match(cause.setting, (cause,), 0.0, 0))
        assert "{" not in words
        assert "()" not in words


own = st.floats(-0.0149, 0.0149).map(lambda off: 1 + off)


@given(own, own, st.sampled_from([0.5, 1.0]))
def test_what_a_printer_in_order_does_is_never_called_a_setting(
    across: float, up: float, division: float
) -> None:
    page = "a4"
    rule = Rule(division)
    readings = [
        Reading(bar, bar * scale, rule) for bar, scale in zip(BARS[page], (across, up), strict=True)
    ]
    found = judge(*readings, find_paper(page))
    assert found.verdict in (Verdict.TRUE, Verdict.PRINTER_ERROR, Verdict.ASK)


@given(st.floats(-0.01, 0.01), st.floats(0.005, 0.02))
def test_directions_that_differ_are_no_setting_that_keeps_proportions(
    off: float, apart: float
) -> None:
    """Feed rollers: one axis only. A fine rule tells 0.5 % between the directions."""
    found = judge(
        Reading(180.0, 180 * (1 + off), Rule(0.5)),
        Reading(270.0, 270 * (1 + off + apart), Rule(0.5)),
        find_paper("a4"),
    )
    assert {match.setting for match in found.matches} <= {Setting.STRETCHED}


def test_what_could_be_both_is_asked_and_the_setting_comes_first() -> None:
    """0.985 both ways: a printer at its limit, or a percentage, or a round inch (0.9843)."""
    found = measured("a4", (0.985, 0.985), 0.5)
    assert found.verdict is Verdict.ASK
    assert found.matches


def test_the_points_of_typesetters_are_mentioned_and_no_more() -> None:
    """72 / 72.27 = 0.99626: as small as a printer's own error, and rarer."""
    found = measured("a4", even(72 / 72.27), 0.2)
    assert Setting.POINTS in {match.setting for match in found.matches}
    assert found.verdict is Verdict.PRINTER_ERROR
