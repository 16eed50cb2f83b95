"""A second proof that shares nothing with the first: pages become pixels and are taped together.

Every page is rendered, its crosses are found in the pixels, and the pages are cut at their joints
and laid on one another so that the crosses meet, as a person does. On the picture of the whole
sheet, ink must lie wherever the pattern has a line, and nowhere else.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest

from tests.demos import pattern_of_demo, plan_of, publication_of
from tests.output.taping import (
    Grey,
    assemble,
    by_pdfium,
    by_poppler,
    extra_in,
    lay_by_crosses,
    missing_from,
    wanted_lines,
)
from tiler.layout.plan import Plan
from tiler.output.pdf import pdf_bytes
from tiler.pattern.affine import Affine, Point
from tiler.sheets.drawing import Drawing, Group, Item, Publication, Use


def without_furniture(publication: Publication) -> Publication:
    """The same pages with the pattern's own lines alone."""
    kept: dict[int, Drawing] = {}

    def stripped(items: tuple[Item, ...]) -> tuple[Item, ...]:
        found: list[Item] = []
        for item in items:
            if isinstance(item, Group) and not item.furniture:
                found.append(replace(item, items=stripped(item.items)))
            elif isinstance(item, Use):
                drawing = item.drawing
                if id(drawing) not in kept:
                    kept[id(drawing)] = replace(drawing, items=stripped(drawing.items))
                found.append(replace(item, drawing=kept[id(drawing)]))
            elif not isinstance(item, Group):
                found.append(item)
        return tuple(found)

    pages = tuple(replace(page, items=stripped(page.items)) for page in publication.pages)
    return replace(publication, pages=pages)


def with_page(publication: Publication, name: str, change: Callable[[Group], Group]) -> Publication:
    """The same publication with the groups of one page changed, the inner ones first."""

    def changed(items: tuple[Item, ...]) -> tuple[Item, ...]:
        return tuple(
            change(replace(item, items=changed(item.items))) if isinstance(item, Group) else item
            for item in items
        )

    pages = tuple(
        replace(page, items=changed(page.items)) if page.name == name else page
        for page in publication.pages
    )
    return replace(publication, pages=pages)


def sheets(publication: Publication, plan: Plan, render: Callable[[bytes], list[Grey]]):
    """The rendered pages that carry the pattern, by name."""
    rendered = render(pdf_bytes(publication))
    names = [page.name for page in publication.pages]
    cells = {cell.name for cell in plan.cells}
    return {n: grey for n, grey in zip(names, rendered, strict=True) if n in cells}


def judged(
    publication: Publication,
    about: Publication,
    demo: str,
    paper: str,
    render: Callable[[bytes], list[Grey]] = by_pdfium,
) -> tuple[list[Point], npt.NDArray[np.float64], float]:
    """What is missing, what is extra, and how badly the crosses meet, of a publication."""
    plan, pattern = plan_of(demo, paper), pattern_of_demo(demo)
    lines = wanted_lines(pattern, plan)
    pages = sheets(publication, plan, render)
    found = lay_by_crosses(pages, about, plan)
    missing = missing_from(assemble(pages, found, about, plan), lines)
    bare = sheets(without_furniture(publication), plan, render)
    extra = extra_in(assemble(bare, found, about, plan), lines)
    return missing, extra, found.worst


@pytest.mark.parametrize(
    ("demo", "paper", "render"),
    [
        ("hat", "a4", by_pdfium),
        ("hat", "letter", by_poppler),
        ("apron", "letter", by_pdfium),
    ],
)
def test_the_taped_sheet_shows_every_line_and_no_other(
    demo: str, paper: str, render: Callable[[bytes], list[Grey]]
) -> None:
    """Ink within 0.2 mm of every line of the pattern, and none farther than that from all."""
    publication = publication_of(demo, paper)
    missing, extra, worst = judged(publication, publication, demo, paper, render)
    assert missing == []
    assert extra.tolist() == []
    # Crosses that meet in one place do not meet worse in the next: pages are not skewed.
    assert worst < 0.05


@pytest.mark.parametrize("shift", [(0.4, 0.0), (0.0, -0.4)])
def test_a_page_whose_lines_lie_0_4_mm_off_is_caught(shift: tuple[float, float]) -> None:
    """The lines of one page are moved against its crosses: both halves of the check see it."""
    good = publication_of("hat", "a4")
    name = plan_of("hat", "a4").cells[1].name

    def moved(group: Group) -> Group:
        return replace(group, at=Affine.move(*shift)) if group.window else group

    missing, extra, _ = judged(with_page(good, name, moved), good, "hat", "a4")
    assert len(missing) > 100
    assert len(extra) > 100


def test_a_page_whose_crosses_lie_0_4_mm_off_is_caught() -> None:
    """The marks of one page's joints are moved against its lines: taping shifts the page."""
    good = publication_of("hat", "a4")
    name = plan_of("hat", "a4").cells[1].name

    def moved(group: Group) -> Group:
        crossed = any(fact == "Joint" for fact, _ in group.facts)
        return replace(group, at=Affine.move(0.0, 0.4)) if crossed else group

    missing, extra, _ = judged(with_page(good, name, moved), good, "hat", "a4")
    assert len(missing) > 100
    assert len(extra) > 100


def test_a_piece_left_out_of_one_page_is_caught() -> None:
    """A page that misses its lines leaves a hole in the sheet."""
    good = publication_of("hat", "a4")
    name = plan_of("hat", "a4").cells[-1].name

    def emptied(group: Group) -> Group:
        return replace(group, items=()) if group.window else group

    missing, _, _ = judged(with_page(good, name, emptied), good, "hat", "a4")
    assert len(missing) > 50
