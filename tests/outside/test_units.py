"""Units against their definitions.

Sources: the inch is 25.4 mm and the yard 0.9144 m exactly (international agreement of 1959);
the PDF user space unit is 1/72 in (ISO 32000-1, 8.3.2.3); 96 CSS pixels make an inch and 6 picas
too (CSS Values and Units Module Level 3, absolute lengths).
"""

import pytest

from tiler.pattern.units import PT_PER_MM, format_inch, parse_length


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("1 in", 25.4), ("96px", 25.4), ("72 pt", 25.4), ("6pc", 25.4), ("2.54 cm", 25.4),
        ("1 yd", 914.4), ("36 in", 914.4), ("5/8 in", 15.875), ("1 1/2 in", 38.1), ('3/8"', 9.525),
        ("0.5m", 500.0), ("15mm", 15.0),
    ],
)  # fmt: skip
def test_a_length_in_millimetres(text: str, mm: float) -> None:
    assert parse_length(text) == pytest.approx(mm, abs=1e-12)


def test_a4_in_points() -> None:
    """595.276 x 841.890 pt: the values that every PDF producer rounds from."""
    assert pytest.approx(595.2756, abs=1e-4) == 210 * PT_PER_MM
    assert pytest.approx(841.8898, abs=1e-4) == 297 * PT_PER_MM


@pytest.mark.parametrize(
    ("mm", "words"), [(15.875, "5/8 in"), (914.4, "36 in"), (38.1, "1 1/2 in"), (0.0, "0 in")]
)
def test_inches_as_a_tape_shows_them(mm: float, words: str) -> None:
    assert words == format_inch(mm)
