"""The demo patterns and their publications, made once in each process and kept in memory."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from tiler.drafting.draft import drafted
from tiler.drafting.paper import for_paper
from tiler.intake.folder import read_pattern
from tiler.job import read
from tiler.layout.papers import find_paper
from tiler.layout.place import place
from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell, PageSetup
from tiler.output.pdf import pdf_bytes
from tiler.pattern.model import Pattern, Piece
from tiler.sheets.drawing import Page, Publication
from tiler.sheets.publication import lay_out

DEMOS = ("apron", "hat", "smock", "trousers")
PAPERS = ("a4", "letter")
DEMO_PIECES = Path(__file__).parents[1] / "demo_pieces"
#: The same pieces, with both lines drawn by their own drafting sums; see the README there.
DRAWN_BY_SUMS = Path(__file__).parent / "data" / "drawn_by_sums"

each_demo = pytest.mark.parametrize("demo", DEMOS)
each_publication = pytest.mark.parametrize(
    ("demo", "paper"), [(demo, paper) for demo in DEMOS for paper in PAPERS]
)


@cache
def traced_demo(demo: str) -> Pattern:
    """A demo pattern as it was traced: before anything is drafted."""
    return read_pattern(DEMO_PIECES / demo)


@cache
def drafted_demo(demo: str) -> Pattern:
    """A demo pattern with all that its maker asks for; half pieces are half."""
    return drafted(traced_demo(demo))


def drafted_piece(demo: str, name: str) -> Piece:
    """A piece of a drafted demo."""
    return next(piece for piece in drafted_demo(demo).pieces if piece.name == name)


@cache
def drawn_by_sums(demo: str, drawing: str) -> Piece:
    """The piece of that drawing, with cut line and stitch line from its own drafting sums."""
    (piece,) = read_pattern(DRAWN_BY_SUMS / demo / drawing).pieces
    return piece


@cache
def pattern_of_demo(demo: str) -> Pattern:
    """A demo pattern as its sheets show it."""
    return for_paper(read(Path(f"demo:{demo}")))


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
