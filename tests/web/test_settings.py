"""What the user prefers, and lengths as the user reads and types them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from starlette.testclient import TestClient

from tiler.pattern.errors import LengthError
from tiler.pattern.units import parse_length
from tiler.web.lengths import as_written, told, typed_length
from tiler.web.settings import THEMES, UNITS, Settings
from tiler.web.words import LANGUAGES


@given(st.text(max_size=40), st.text(max_size=40))
def test_whatever_the_cookie_says_the_settings_hold_together(cookie: str, accepted: str) -> None:
    found = Settings.read(cookie, accepted)
    assert found.language in LANGUAGES
    assert found.units in UNITS
    assert found.theme in THEMES
    assert Settings.read(found.words) == found


@pytest.mark.parametrize(
    ("accepted", "language"),
    [
        ("de-AT,de;q=0.9,en;q=0.5", "de"),
        ("uk", "uk"),
        ("fr,uk;q=0.4", "uk"),
        ("fr", "en"),
        ("", "en"),
    ],
)
def test_the_first_language_is_one_that_the_browser_asks_for(accepted: str, language: str) -> None:
    assert Settings.read("", accepted).language == language


def test_what_is_chosen_is_kept_in_the_browser_and_shown(studio: TestClient) -> None:
    answer = studio.post("/settings", data={"language": "uk", "theme": "dark"})
    assert answer.headers["x-studio-reload"] == "1"
    page = studio.get("/nothing-there").text
    assert '<html lang="uk" data-theme="dark">' in page


@pytest.mark.parametrize(
    ("mm", "units", "words"),
    [
        (15, "mm", "15 mm"),
        (152.36, "mm", "152.4 mm"),
        (15.875, "in", "5/8 in"),
        (38.1, "in", "1 1/2 in"),
        (10, "in", "0.39 in"),
        (0, "in", "0 in"),
    ],
)
def test_lengths_are_told_in_the_users_unit(mm: float, units: str, words: str) -> None:
    """1 in = 25.4 mm (international yard and pound agreement, 1959)."""
    assert told(mm, units) == words


@pytest.mark.parametrize(
    ("mm", "units", "language", "words"),
    [
        (152.36, "mm", "de", "152,4 mm"),
        (152.36, "mm", "uk", "152,4 мм"),
        (10, "in", "de", "0,39 Zoll"),
        (15.875, "in", "uk", "5/8 дюйм."),
    ],
)
def test_lengths_are_told_as_the_language_writes_them_and_taken_back(
    mm: float, units: str, language: str, words: str
) -> None:
    """Decimal commas and symbols of the two languages: common practice, no source."""
    assert told(mm, units, language=language) == words
    assert typed_length(words, units) == pytest.approx(mm, abs=0.1)


@pytest.mark.parametrize(
    ("typed", "units", "written"),
    [
        ("1,5 см", "mm", "1.5 cm"),
        ("15мм", "in", "15mm"),
        ("2 дюйми", "mm", "2 in"),
        ("1 1/2 Zoll", "mm", "1 1/2 in"),
        ("12", "mm", "12 mm"),
        (" 1,5 ", "mm", "1.5 mm"),
        ("5/8", "in", "5/8 in"),
        ("1 1/2", "in", "1 1/2 in"),
        (".5", "in", ".5 in"),
        ("1.5 cm", "in", "1.5 cm"),
        ("5/8 in", "mm", "5/8 in"),
    ],
)
def test_a_bare_number_gets_the_unit_beside_the_field(typed: str, units: str, written: str) -> None:
    assert as_written(typed, units) == written
    assert typed_length(typed, units) == parse_length(written)


@given(st.floats(0, 3000), st.sampled_from(UNITS))
def test_what_is_told_can_be_typed(mm: float, units: str) -> None:
    """To half of the last place that is told: 0.05 mm, 0.005 in."""
    assert abs(typed_length(told(mm, units), units) - mm) <= 0.05 + 0.005 * 25.4


@pytest.mark.parametrize("typed", ["", "about 12", "12 elephants", "1;2"])
def test_what_is_no_length_is_refused(typed: str) -> None:
    with pytest.raises(LengthError):
        typed_length(typed, "mm")
