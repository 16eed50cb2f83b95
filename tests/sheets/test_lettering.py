"""How much room words take, measured against the typeface itself."""

from __future__ import annotations

import tomllib
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.printed import face, ink_of
from tiler.sheets.lettering import (
    BODY,
    HEAD,
    LARGE,
    SMALL,
    TITLE,
    depth_of,
    evenly,
    height_of,
    leading_of,
    shortened,
    unprintable,
    width_of,
    wrapped,
)
from tiler.sheets.words import shipped

SAMPLES = [
    "Front",
    "cut 2: 1 and 1 mirrored",
    "Łódź, żółć",
    "Ποδιά κήπου",
    "Фартук садовода",
    "½ × 10 %",
]
words = st.text(st.sampled_from("abcdefghij ÄÖßéłžΩЖ-,.·1234567890"), min_size=1, max_size=60)


@pytest.mark.parametrize("text", SAMPLES)
@pytest.mark.parametrize("bold", [False, True])
def test_widths_are_those_of_the_typeface(text: str, bold: bool) -> None:
    """Compared with the advance widths that Pillow (FreeType) reads from the same file."""
    for size in (SMALL, BODY, TITLE):
        expected = ink_of(text, bold)[4] * size * 25.4 / 72
        assert width_of(text, size, bold=bold) == pytest.approx(expected, rel=2e-3)


def test_heights_are_those_of_the_typeface() -> None:
    """Capitals reach 714 and the tail of g 240 thousandths of the type size (Noto Sans)."""
    _, _, _, top, _ = ink_of("H", False)
    _, bottom, _, _, _ = ink_of("g", False)
    size_mm = BODY * 25.4 / 72
    assert height_of(BODY) == pytest.approx(top * size_mm, rel=0.01)
    assert depth_of(BODY) == pytest.approx(-bottom * size_mm, rel=0.02)
    assert leading_of(BODY) > height_of(BODY) + depth_of(BODY)


def test_the_smallest_size_is_seven_points() -> None:
    """Sizes rise in clear steps."""
    scale = [SMALL, BODY, LARGE, HEAD, TITLE]
    assert scale[0] == 7
    assert all(b / a >= 1.2 for a, b in pairwise(scale))


@settings(deadline=None)
@given(words, st.integers(20, 120), st.booleans())
def test_wrapped_lines_hold_all_words_and_keep_the_width(text: str, width: int, bold: bool) -> None:
    """No letter is lost, and no line is wider than asked; words are broken only if they must be."""
    lines = wrapped(text, BODY, width, bold=bold)
    assert "".join(lines).replace(" ", "") == "".join(text.split())
    assert all(width_of(line, BODY, bold=bold) <= width for line in lines)
    if all(width_of(word, BODY, bold=bold) <= width for word in text.split()):
        assert " ".join(lines).split() == text.split()


@settings(deadline=None)
@given(words, st.integers(10, 120), st.booleans())
def test_shortened_text_fits_and_keeps_its_beginning(text: str, width: int, bold: bool) -> None:
    """What fits is left alone; what does not ends with three dots."""
    short = shortened(text, BODY, width, bold=bold)
    assert width_of(short, BODY, bold=bold) <= width
    if short != text:
        assert short.endswith("…")
        assert text.startswith(short[:-1])
        assert width_of(text, BODY, bold=bold) > width


def test_letters_that_cannot_be_printed_are_told() -> None:
    """Greek, Cyrillic and accented Latin are there; ideographs, emoji and Hebrew are not."""
    assert unprintable("".join(SAMPLES)) == ""
    assert unprintable("Hut 帽子 帽") == "帽子"
    assert unprintable("hat 🧢") == "🧢"
    assert unprintable("כובע") == "כובע"


def test_all_texts_of_the_sheets_can_be_printed() -> None:
    """The templates use no letter that the typeface lacks, in either weight."""
    texts = "".join(
        text
        for file in sorted(shipped("templates").glob("*/sheet.toml"))
        for text in map(str, tomllib.loads(file.read_text("utf-8")).values())
    )
    assert len(texts) > 500
    assert unprintable(texts) == ""
    blank = face(False).getmask("\uffff").getbbox()
    for letter in sorted(set(texts) - {" "}):
        for bold in (False, True):
            assert face(bold).getmask(letter).getbbox() not in (None, blank), letter


def test_a_word_wider_than_its_column_is_broken_and_nothing_is_lost() -> None:
    """A compound of 78 letters stays readable in a narrow column."""
    word = "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft"
    for lines in (wrapped(f"a {word} b", 7.5, 30.0), evenly(f"a {word} b", 7.5, 30.0)):
        assert "".join(lines).replace(" ", "") == f"a{word}b"
        assert all(width_of(line, 7.5) <= 30.0 for line in lines)
