"""Lengths as people write them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.pattern.errors import LengthError
from tiler.pattern.units import MM_PER_UNIT, format_inch, format_mm, parse_length


@given(st.integers(-(10**7), 10**7))
def test_what_is_written_in_millimetres_is_read_back(tenths: int) -> None:
    assert parse_length(format_mm(tenths / 10)) == pytest.approx(tenths / 10)


@given(st.integers(0, 10**5))
def test_what_is_written_in_eighths_of_an_inch_is_read_back(eighths: int) -> None:
    length = eighths * 25.4 / 8
    assert parse_length(format_inch(length)) == pytest.approx(length)


@given(st.floats(0, 1e6), st.sampled_from(sorted(MM_PER_UNIT)))
def test_a_unit_multiplies(number: float, unit: str) -> None:
    assert parse_length(f"{number:f} {unit}") == pytest.approx(
        float(f"{number:f}") * MM_PER_UNIT[unit]
    )


@pytest.mark.parametrize("bare", [15, 1.5, "15", " 1.5 "])
def test_a_bare_number_is_refused_with_three_spellings(bare: object) -> None:
    with pytest.raises(LengthError) as told:
        parse_length(bare, where="pattern.toml line 3")
    words = str(told.value)
    assert words.startswith("pattern.toml line 3: ")
    assert "no unit" in words
    for spelling in ('"15 mm"', '"1.5 cm"', '"5/8 in"'):
        assert spelling in words


def test_an_unknown_unit_is_named_beside_those_there_are() -> None:
    with pytest.raises(LengthError, match=r"unknown unit 'ell'.*mm, cm, m, in, pt, pc, px, yd"):
        parse_length("2 ell")


@pytest.mark.parametrize(
    "words", ["", "mm", "one mm", "1 2 mm", "1,5 cm", "1/0 in", "1e5 mm", "5 5/8 5 in", "nan mm"]
)
def test_words_that_are_no_length_are_refused(words: str) -> None:
    with pytest.raises(LengthError):
        parse_length(words)


@given(st.text(max_size=80))
def test_any_words_are_a_length_or_are_refused(words: str) -> None:
    try:
        length = parse_length(words)
    except LengthError:
        return
    assert abs(length) < float("inf")


@pytest.mark.parametrize("digits", ["9" * 5000 + " mm", "1/" + "9" * 5000 + " in"])
def test_endless_digits_are_refused(digits: str) -> None:
    with pytest.raises(LengthError, match="is not a length"):
        parse_length(digits)


@pytest.mark.parametrize(
    ("length", "words"), [(15.0, "15 mm"), (412.54, "412.5 mm"), (-0.01, "0 mm"), (0.0, "0 mm")]
)
def test_millimetres_are_written_without_trailing_zeros(length: float, words: str) -> None:
    assert format_mm(length) == words


def test_a_comma_for_the_point_is_refused_with_the_point() -> None:
    """Half of Europe writes 190,5; others take it for a thousand and more."""
    with pytest.raises(LengthError, match=r'Write a point for the comma: "190\.5 mm"'):
        parse_length("190,5 mm")
    with pytest.raises(LengthError, match='"15 mm"'):
        parse_length("1,5,0 mm")
