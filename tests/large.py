"""Patterns for large paper, made of the demos' pieces."""

from __future__ import annotations

from dataclasses import replace

from tests.demos import pattern_of_demo
from tiler.job.large import Large
from tiler.job.options import Surface
from tiler.job.surfaces import paper_of
from tiler.layout.packing.options import Packing
from tiler.layout.plan import Plan
from tiler.layout.tiles import PageSetup
from tiler.output.pdf import pdf_bytes
from tiler.pattern.model import Pattern
from tiler.sheets.publication import lay_out


def several_times(demo: str, count: int, largest: int) -> Pattern:
    """A demo's largest pieces so many times over, as for everyone in a whole society."""
    pattern = pattern_of_demo(demo)
    by_size = sorted(pattern.pieces, key=lambda piece: -piece.bounds.width * piece.bounds.height)
    pieces = tuple(
        replace(piece, name=f"{piece.name} {number}")
        for number in range(1, count + 1)
        for piece in by_size[:largest]
    )
    return replace(pattern, title="Smocks for all", pieces=pieces, joined=(), together=())


def laid_on(pattern: Pattern, word: str, **options: bool) -> Plan:
    """Its layout on a surface, with little effort."""
    surface = Surface(word, **options)
    paper = paper_of(word)
    setups = [PageSetup(replace(paper, height=paper.height or 2 * paper.width))]
    return Large(pattern, (), surface, paper, Packing("quick")).plan(setups)


def written_on(pattern: Pattern, plan: Plan) -> bytes:
    """The file."""
    return pdf_bytes(lay_out(pattern, plan))
