"""What ``blocksheet look`` prints of a drafted pattern."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.drafting.test_inventory import drafted
from tests.strategies import pattern_of, rectangular
from tiler.cli.table import print_table


def printed(capsys: pytest.CaptureFixture[str]) -> list[str]:
    print_table(drafted())
    return [" ".join(line.split()) for line in capsys.readouterr().out.splitlines()]


def test_each_edge_tells_its_allowance(capsys: pytest.CaptureFixture[str]) -> None:
    """A fold needs none; a raw edge has none; the stitch line has its own length."""
    lines = printed(capsys)
    assert "A fold 330 mm 13 in" in lines
    assert "B sewn 230 mm 9 in allowance 10 mm, square, stitch line 200 mm" in lines
    assert "C raw 330 mm 13 in no allowance" in lines
    assert "D hem 230 mm 9 in allowance 15 mm, stitch line 200 mm" in lines
    assert "A sewn 100 mm 3 7/8 in allowance not stated" in lines


def test_a_piece_tells_where_it_is_worn_and_how_it_is_printed(
    capsys: pytest.CaptureFixture[str],
) -> None:
    lines = printed(capsys)
    assert "front; left side, drawn face up; printed whole, opened across its fold" in lines
    assert "printed joined to Yoke" in lines


def test_seams_are_listed_with_their_ease(capsys: pytest.CaptureFixture[str]) -> None:
    assert "side: Front.C with Back.A, ease 5 mm to 10 mm" in printed(capsys)


def test_edges_that_all_styles_share_are_printed_once(capsys: pytest.CaptureFixture[str]) -> None:
    """Of two styles that differ in length, the top is common and the sides are not."""
    long, short = (rectangular("Front", 100, tall).outlines[0] for tall in (254, 127))
    outlines = (replace(long, style="long"), replace(short, style="short"))
    print_table(pattern_of(replace(rectangular("Front", 100, 254), outlines=outlines)))
    lines = [" ".join(line.split()) for line in capsys.readouterr().out.splitlines()]
    edges = [line.replace(" allowance not stated", "") for line in lines if " sewn " in line]
    assert edges == [
        "A sewn 254 mm 10 in; style long",
        "A sewn 127 mm 5 in; style short",
        "B sewn 100 mm 3 7/8 in",
        "C sewn 254 mm 10 in; style long",
        "C sewn 127 mm 5 in; style short",
        "D sewn 100 mm 3 7/8 in",
    ]
