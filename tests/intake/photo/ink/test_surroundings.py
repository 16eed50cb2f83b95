"""What lies round and under a tracing, drawn by `drawn_table`: shadows and printed squares.

The widths and brightnesses are those of invented scenes; that the sun is about four times as
bright as the sky in a shadow is common practice, no source.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.intake.photo.ink.drawn_table import DrawnTable
from tests.intake.photo.ink.test_web import BODICE, found, off
from tiler.intake.photo.model import Web


def outline_only(web: Web) -> None:
    (ring,) = web.strands
    assert ring.ring
    away = off(web, [(BODICE, True)])
    assert np.percentile(away, 95) < 0.15
    assert away.max() < 0.5


@pytest.mark.parametrize(("left", "soft"), [(0.45, 1.0), (0.3, 4.0), (0.5, 14.0)])
def test_a_shadow_across_the_paper_is_still_paper(left: float, soft: float) -> None:
    table = DrawnTable(300, 300)
    table.line(BODICE, closed=True)
    table.floor((12, 12, 285, 285))
    x = (np.arange(table.columns) + 0.5) * table.pitch
    y = 300 - (np.arange(table.rows) + 0.5) * table.pitch
    in_shadow = 1 / (1 + np.exp(-(x[None, :] * 0.3 + y[:, None] - 150) / (soft / 2)))
    table.light *= (1 - (1 - left) * in_shadow)[..., None].astype("f4")
    outline_only(found(table, uneven=0.1))


@pytest.mark.parametrize(("apart", "width"), [(10.0, 0.5), (5.0, 0.4)])
@pytest.mark.parametrize("floor", [False, True])
def test_squares_printed_on_the_paper_are_no_ink(apart: float, width: float, floor: bool) -> None:
    table = DrawnTable(300, 300)
    x = (np.arange(table.columns) + 0.5) * table.pitch
    y = 300 - (np.arange(table.rows) + 0.5) * table.pitch
    print_ = np.maximum((x % apart < width)[None, :], (y % apart < width)[:, None])
    table.light[print_] *= (0.45, 0.6, 0.85)
    table.line(BODICE, closed=True)
    if floor:
        table.floor((12, 12, 285, 285))
    outline_only(found(table))
