"""A printer that is off, measured and made up for: its own prints come out true.

The printer is simulated: it takes the dots of a page and lets every length come out longer or
shorter, in each direction of the paper by a scale of its own. Dots are poppler's and pdfium's.
"""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from tests.demos import pattern_of_demo
from tests.laying import laid
from tests.output.test_true_size import Print, by_pdfium, by_poppler, middles
from tests.printed import groups_on
from tiler import job
from tiler.job import scaling
from tiler.layout.papers import find_paper
from tiler.layout.scale import Printer, Rule
from tiler.layout.tiles import PageSetup
from tiler.output.pdf import pdf_bytes
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.proof import prove
from tiler.sheets.drawing import Publication, Stroke
from tiler.sheets.publication import lay_out


def read_with(rule: Rule, length: float, chance: random.Random) -> float:
    """What somebody reads: aimed a little beside the mark, rounded to the rule's divisions."""
    ends = [chance.gauss(0, rule.division / 4) for _ in range(2)]
    return round((length + ends[1] - ends[0]) / rule.division) * rule.division


def measured(across: float, up: float, rule: Rule, seed: int) -> Printer:
    """The printer as its owner knows it after measuring the bars of a calibration page."""
    chance = random.Random(seed)
    bars = scaling.bars_of("a4")
    found = (
        read_with(rule, bars[0] * across, chance),
        read_with(rule, bars[1] * up, chance),
    )
    return scaling.printer_of("Shed", "a4", scaling.judge_print("a4", bars, found, rule))


@cache
def published(printer: Printer | None, landscape: bool = False) -> tuple[Publication, bytes]:
    pattern = pattern_of_demo("hat")
    setup = PageSetup(find_paper("a4"), landscape, printer=printer)
    publication = lay_out(pattern, laid(pattern, [setup]))
    return publication, pdf_bytes(publication)


def printed_squares(
    page: Print, publication: Publication, across: float, up: float
) -> list[tuple[float, float]]:
    """Width and height of the 100 mm square and the 4 in square as the printer lets them out.

    Args:
        page: The dots of the first page.
        publication: Only to know where to look.
        across: The printer's scale from left to right of the page.
        up: And from bottom to top.
    """
    boxes = []
    for group in groups_on(publication.pages[0], "Measure"):
        if 0 not in dict(group.facts)["Measure"]:
            paths = [p for item in group.items if isinstance(item, Stroke) for p in item.paths]
            boxes.append(bounds_of([path.bounds for path in paths]))
    inner, outer = sorted(boxes, key=lambda box: box.width)
    level = Bounds(inner.left - 1, inner.bottom + 13, outer.right + 0.5, inner.bottom + 15)
    upright = Bounds(inner.left + 13, inner.bottom - 1, inner.left + 15, outer.top + 0.5)
    x, y = middles(page, level, "x"), middles(page, upright, "y")
    return [((x[i] - x[0]) * across, (y[i] - y[0]) * up) for i in (-2, -1)]


PRINTERS = [
    (1.0062, 1.0041, 0.5, 1),
    (0.9921, 1.0013, 0.5, 2),
    (1.0088, 0.9944, 1.0, 3),
    (0.9870, 0.9935, 1.0, 4),
]


@pytest.mark.parametrize(("across", "up", "division", "seed"), PRINTERS)
def test_its_own_prints_come_out_true(across: float, up: float, division: float, seed: int) -> None:
    """To within what the measuring leaves open, and half a tenth of a millimetre for the dots."""
    printer = measured(across, up, Rule(division), seed)
    publication, pdf = published(printer)
    for page in (by_poppler(pdf, 0), by_pdfium(pdf, 0)):
        squares = printed_squares(page, publication, across, up)
        for (width, height), side in zip(squares, (100.0, 101.6), strict=True):
            assert width == pytest.approx(side, abs=side * printer.across_pm / across + 0.05)
            assert height == pytest.approx(side, abs=side * printer.up_pm / up + 0.05)


def test_without_it_the_same_printer_is_seen_to_be_off() -> None:
    across, up, *_ = PRINTERS[0]
    publication, pdf = published(None)
    (width, height), _ = printed_squares(by_poppler(pdf, 0), publication, across, up)
    assert width == pytest.approx(100.62, abs=0.05)
    assert height == pytest.approx(100.41, abs=0.05)


def test_on_a_page_that_lies_the_directions_of_the_paper_are_exchanged() -> None:
    """The paper runs through the printer as always; what lies is what is drawn on it."""
    printer = Printer("Shed", 1.012, 0.993, 0.001, 0.001, "a4")
    publication, pdf = published(printer, landscape=True)
    squares = printed_squares(by_poppler(pdf, 0), publication, printer.up, printer.across)
    for (width, height), side in zip(squares, (100.0, 101.6), strict=True):
        assert (width, height) == pytest.approx((side, side), abs=0.05)


def test_what_is_sent_proves_and_says_for_whom_it_is(tmp_path: Path) -> None:
    printer = Printer("Shed", 1.012, 0.993, 0.001, 0.001, "a4")
    _, pdf = published(printer)
    (tmp_path / "hat.pdf").write_bytes(pdf)
    verdict = prove(tmp_path / "hat.pdf")
    assert verdict.proven
    assert verdict.worst <= 0.01
    told = [finding for finding in verdict.findings if finding.code == "one-printer"]
    assert "'Shed'" in str(told[0])
    assert "+1.20 % across and -0.70 % up" in str(told[0])


def test_what_is_sent_for_another_printer_than_is_said_does_not_prove(tmp_path: Path) -> None:
    """The record tells of one printer, and the pages are drawn for another."""
    said, drawn = (Printer("Shed", scale, 1.0, 0.001, 0.001, "a4") for scale in (1.012, 1.010))
    setup = PageSetup(find_paper("a4"), printer=said)
    pattern = pattern_of_demo("hat")
    other = laid(pattern, [setup])
    publication = lay_out(pattern, other)
    pages = tuple(
        replace(page, items=tuple(replace(g, at=drawn.compensation(setup)) for g in page.items))
        for page in publication.pages
    )
    (tmp_path / "hat.pdf").write_bytes(pdf_bytes(replace(publication, pages=pages)))
    verdict = prove(tmp_path / "hat.pdf")
    assert not verdict.proven
    assert verdict.worst > 0.05


def test_everything_stays_clear_of_the_margin_however_much_larger_it_is_sent(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The printer leaves 12 mm free and prints small, so that pages are sent larger."""
    monkeypatch.setenv("BLOCKSHEET_HOME", str(tmp_path / "own"))
    scaling.keep_printer(Printer("Shed", 0.988, 0.99, 0.001, 0.001, "a4", margin=12.0))
    surface = job.Surface("a4", printer="shed")
    (done,) = job.publish(pattern_of_demo("hat"), [surface], tmp_path, packing=job.Packing("quick"))
    assert done.file.name == "panelled-sun-hat-a4-for-shed.pdf"
    for number in range(2):
        page = by_poppler(done.file.read_bytes(), number)
        dark = page.grey < 250
        across, down = page.dots
        edge = 12.0 - 0.15
        rows, columns = round(edge * down), round(edge * across)
        assert not dark[:rows].any()
        assert not dark[-rows:].any()
        assert not dark[:, :columns].any()
        assert not dark[:, -columns:].any()
        assert dark.any()
