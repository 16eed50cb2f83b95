"""Rows show all of the cloth, in order, within their frame, as large as that goes."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.layout.cloth.model import Laid, Part, Spread
from tiler.pattern.affine import STILL
from tiler.sheets.layplanrows import ABOVE, BELOW, LEFT, Rows, rows_of

WIDE, HIGH = 190.0, 180.0


def part(spread: Spread, start: float, end: float, *pieces: tuple[float, float]) -> Part:
    """A stretch of cloth with pieces that reach from here to there along it."""
    laid = tuple(
        Laid("piece", n, STILL, False, 1, False, False, ((a, 0.0), (b, 0.0), (b, 9.0), (a, 9.0)))
        for n, (a, b) in enumerate(pieces)
    )
    return Part(spread, start, end, laid)


lengths = st.floats(30, 12_000)


@given(lengths, st.lists(lengths, max_size=1), st.floats(300, 1800))
def test_every_stretch_of_the_cloth_is_in_one_row(
    first: float, second: list[float], width: float
) -> None:
    """Parts follow one another; what a row ends with the next one begins with."""
    parts = [part(Spread.FOLDED, 0.0, first)]
    parts += [part(Spread.SINGLE, first, first + more) for more in second]
    rows = rows_of(parts, width, WIDE, HIGH)
    assert rows.rows[0].start == 0.0
    assert rows.rows[-1].end == parts[-1].end
    assert all(one.end == other.start for one, other in pairwise(rows.rows))
    for row in rows.rows:
        share = 0.5 if row.part.spread is Spread.FOLDED else 1.0
        assert row.tall == pytest.approx(width * share)
        assert row.part.start <= row.start < row.end <= row.part.end
    inside(rows)


def inside(rows: Rows) -> None:
    """Each row with its words and rules lies in the frame, and none on another one."""
    boxes = [
        (
            row.left - LEFT,
            row.down - ABOVE,
            row.left + (row.end - row.start) / rows.scale,
            row.down + row.tall / rows.scale + BELOW,
        )
        for row in rows.rows
    ]
    for number, (left, top, right, bottom) in enumerate(boxes):
        assert left >= -1e-6
        assert top >= -1e-6
        assert right <= WIDE + 1e-6
        assert bottom <= HIGH + 1e-6
        for other in boxes[:number]:
            apart = (
                right <= other[0] + 1e-6
                or other[2] <= left + 1e-6
                or bottom <= other[1] + 1e-6
                or other[3] <= top + 1e-6
            )
            assert apart


@given(lengths, st.floats(300, 1800))
def test_no_single_row_would_be_larger(length: float, width: float) -> None:
    """By hand: one row is as large as the frame is wide, or as high as it leaves room."""
    rows = rows_of([part(Spread.SINGLE, 0.0, length)], width, WIDE, HIGH)
    alone = max(length / (WIDE - LEFT), width / (HIGH - ABOVE - BELOW))
    assert rows.scale <= max(2, alone + 1)


def test_a_short_stretch_is_one_row() -> None:
    rows = rows_of([part(Spread.SINGLE, 0.0, 900.0)], 900.0, WIDE, HIGH)
    assert len(rows.rows) == 1


def test_long_narrow_cloth_goes_on_in_further_rows() -> None:
    """4 m of cloth folded to 45 cm: one row would be 1 : 23, three are twice as large."""
    rows = rows_of([part(Spread.FOLDED, 0.0, 4000.0)], 900.0, WIDE, HIGH)
    assert len(rows.rows) >= 2
    assert rows.scale <= 12


def test_a_row_ends_where_it_crosses_no_piece() -> None:
    """Two pieces, and a narrow gap between them that is not in the middle."""
    pieces = (0.0, 1718.0), (1720.0, 3600.0)
    rows = rows_of([part(Spread.FOLDED, 0.0, 3600.0, *pieces)], 900.0, WIDE, HIGH)
    ends = [row.end for row in rows.rows[:-1]]
    assert len(ends) == 1
    assert 1718 <= ends[0] <= 1720
    assert rows.crossed == 0


def test_a_short_last_part_stands_beside_the_rows_of_the_first() -> None:
    parts = [part(Spread.FOLDED, 0.0, 2600.0), part(Spread.SINGLE, 2600.0, 2900.0)]
    rows = rows_of(parts, 1500.0, WIDE, HIGH)
    first, *others, last = rows.rows
    assert last.part is parts[1]
    assert last.down == first.down
    assert last.left > max(
        row.left + (row.end - row.start) / rows.scale for row in (first, *others)
    )
