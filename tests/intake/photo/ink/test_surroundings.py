"""What lies round and under a tracing, drawn by `drawn_table`: shadows and printed squares.

The widths and brightnesses are those of invented scenes; that the sun is about four times as
bright as the sky in a shadow is common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.intake.photo.ink.drawn_table import DrawnTable
from tests.intake.photo.ink.test_web import BODICE, found, off
from tiler.intake.photo.ink.web import web_of
from tiler.intake.photo.model import Web
from tiler.intake.photo.problem import CaptureError, Doubts


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


@pytest.mark.parametrize("margin", [8.0, 5.0])
def test_an_outline_near_the_papers_edge_makes_no_paper_of_the_floor(margin: float) -> None:
    # The lowest and the highest places of the outline come so near to the paper's edges, and its
    # left side runs beside one.
    table = DrawnTable(300, 300)
    table.line(BODICE, closed=True)
    table.floor((40 - 2 - margin, 40 - 2 - margin, 200, 227 + margin))
    outline_only(found(table))


def test_an_outline_that_touches_the_papers_edge_is_not_taken_for_a_floors_seam() -> None:
    # An end of the grain line runs out onto the floor's shadow; the rest stays on the paper.
    table = DrawnTable(300, 300)
    table.line(BODICE, closed=True)
    table.line([(100, 120), (100, 20)])
    table.floor((22, 22, 240, 250))
    web = found(table)
    every = np.concatenate([strand.points for strand in web.strands])
    assert all(np.hypot(*(every - place).T).min() < 0.5 for place in BODICE[:2])
    assert every.min() > 20


def test_a_tracing_beyond_the_flattened_table_is_refused_as_too_far_from_the_cards() -> None:
    table = DrawnTable(300, 300)
    table.line(BODICE, closed=True)
    whole = table.flattened()
    cut = round(100 / table.pitch)
    part = replace(
        whole,
        pixels=whole.pixels[:, cut:].copy(),
        seen=whole.seen[:, cut:].copy(),
        taken_from=whole.taken_from[:, cut:].copy(),
        left=whole.left + cut * table.pitch,
    )
    with pytest.raises(CaptureError, match="too far beyond the cards") as caught:
        web_of(part, table.solved(), table.photos(whole), Doubts())
    assert caught.value.code == "too-far"
    assert all(abs(spot.points[:, 0].mean() - 101) < 3 for spot in caught.value.table_spots)
