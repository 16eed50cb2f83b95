"""The demo patterns and their publications, made once in each process and kept in memory."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from tiler.job import read
from tiler.layout.papers import find_paper
from tiler.layout.place import place
from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell, PageSetup
from tiler.output.pdf import pdf_bytes
from tiler.pattern.model import Pattern
from tiler.sheets.drawing import Page, Publication
from tiler.sheets.publication import lay_out

DEMOS = ("apron", "hat", "smock", "trousers")
PAPERS = ("a4", "letter")

each_demo = pytest.mark.parametrize("demo", DEMOS)
each_publication = pytest.mark.parametrize(
    ("demo", "paper"), [(demo, paper) for demo in DEMOS for paper in PAPERS]
)


@cache
def pattern_of_demo(demo: str) -> Pattern:
    """A demo pattern as it ships."""
    return read(Path(f"demo:{demo}"))


@cache
def plan_of(demo: str, paper: str) -> Plan:
    """Its layout on a paper, lying or standing, whichever takes fewer pages."""
    setups = [PageSetup(find_paper(paper), landscape) for landscape in (False, True)]
    return place(pattern_of_demo(demo), setups)


@cache
def publication_of(demo: str, paper: str) -> Publication:
    """What is printed."""
    return lay_out(pattern_of_demo(demo), plan_of(demo, paper))


@cache
def pdf_of(demo: str, paper: str) -> bytes:
    """The written file."""
    return pdf_bytes(publication_of(demo, paper))


def front_of(demo: str, paper: str) -> list[Page]:
    """The pages before the pattern: the start page, on small paper also the map."""
    names = {cell.name for cell in plan_of(demo, paper).cells}
    return [page for page in publication_of(demo, paper).pages if page.name not in names]


def sheets_of(demo: str, paper: str) -> list[tuple[Cell, Page]]:
    """The pages that carry the pattern, each with its cell."""
    pages = {page.name: page for page in publication_of(demo, paper).pages}
    return [(cell, pages[cell.name]) for cell in plan_of(demo, paper).cells]
