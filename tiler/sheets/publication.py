"""A plan becomes a publication: the front pages, then every page that carries ink."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell
from tiler.pattern.affine import STILL, Affine
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Pattern
from tiler.sheets.band import draw_band
from tiler.sheets.bars import draw_bars
from tiler.sheets.bodies import Bodies
from tiler.sheets.chosen import chosen_plan
from tiler.sheets.culling import Windows
from tiler.sheets.drawing import (
    Attachment,
    Group,
    Item,
    Page,
    Publication,
    Words,
    walk,
)
from tiler.sheets.extent import word_boxes
from tiler.sheets.joints import Joint, draw_edges, draw_joints, draw_tint, find_joints, sides_of
from tiler.sheets.layers import LayerNames, layer_names
from tiler.sheets.pagetag import PageTags
from tiler.sheets.placing import Laid, Shown, lay_pieces, pages_of
from tiler.sheets.record import RECORD_NAME, record, source_files
from tiler.sheets.room import Room
from tiler.sheets.start import draw_front
from tiler.sheets.strip import Strip
from tiler.sheets.ways import Way
from tiler.sheets.words import say

Progress = Callable[[int, int], None]


def lay_out(
    pattern: Pattern,
    plan: Plan,
    progress: Progress | None = None,
    styles: Sequence[str] = (),
    *,
    way: Way = Way.OVERLAP,
    pieces: Sequence[str] = (),
) -> Publication:
    """Everything that is printed for a plan, ready for an output.

    Of chosen pieces only their own pages are printed, but as they are in the whole: under the same
    names, with the marks of joints in the same places, so that a page can take the place of one
    that was spoilt.

    Args:
        pattern: What is published, whole.
        plan: Where it lies, whole.
        progress: Called with the number of pages drawn and their total.
        styles: The styles that were chosen from the pattern's own; empty for all.
        way: How the pages are joined.
        pieces: The names of the pieces that are printed; empty for all.

    Raises:
        PatternError: There is no such piece.
    """
    _known(pattern, pieces)
    all_names = layer_names(pattern)
    laid, room = lay_pieces(pattern, plan, all_names)
    if not way.trims_over:
        _keep_strips(pattern, plan, room)
    bodies = Bodies(each.body.all for each in laid)
    joints = find_joints(plan, room, bodies)
    shown = pages_of(laid, plan, room)
    inked = _inked(laid, plan)
    printed = chosen_plan(plan, pieces, inked)
    here = {placement.piece.name for placement in printed.placements}
    names = all_names.only([placement.piece for placement in printed.placements])
    notes = {
        placement.piece.name: placement.piece.notes
        for placement, each in zip(plan.placements, laid, strict=True)
        if not each.written.complete
    }
    # What front pages say otherwise stands at the head of large paper.
    on = {placed.piece.name: cells for placed, cells in zip(plan.placements, inked, strict=True)}
    first = [] if plan.head else draw_front(pattern, printed, notes, way, plan, on)
    head = draw_band(pattern, printed) if plan.head else []
    total = len(printed.cells) + len(first)
    pages = []
    strip, bars = Strip(pattern, plan, total), draw_bars(plan.grid.setup)
    for number, (name, items) in enumerate(first, start=1):
        own = (*items, bars, *strip.draw(say("name_front", name=name), number))
        pages.append(_page(name, plan, (Group(own, furniture=True),)))
    tags = PageTags(plan, bodies)
    meetings = _meetings(joints, printed)
    for number, cell in enumerate(printed.cells, start=len(first) + 1):
        if progress:
            progress(number, total)
        to_page = _to_page(plan, cell)
        met, setup = meetings[cell], plan.grid.setup
        sides = sides_of(met, cell)
        marks = [
            *draw_edges(sides, plan.grid.core(cell).moved(to_page), way),
            *draw_joints(met, cell, to_page, setup, room, way, bodies),
            *(() if plan.head else tags.draw(cell, room, to_page)),
            bars,
            *strip.draw(_page_words(plan, cell, number, total), number),
        ]
        if cell == printed.cells[0]:
            marks += head
        near = [each[cell] for each in shown if cell in each]
        seen = [each for each in near if each.drawn.name in here]
        tint = draw_tint(sides, setup, way)
        pages.append(_page(cell.name, plan, _on_page(tint, marks, seen, plan, to_page, names)))
    headings = names.listed
    return Publication(
        title=pattern.title,
        author=pattern.maker,
        subject=f"{plan.grid.setup.words}, {total} pages, pattern digest {pattern.digest}",
        pages=tuple(pages),
        layers=names.all,
        headings=headings,
        printed=(names.marks, names.words),
        attachments=(
            Attachment(
                RECORD_NAME,
                record(
                    pattern,
                    printed,
                    names,
                    front=[name for name, _ in first],
                    styles=styles,
                    pieces=pieces,
                    way=way,
                ),
                "Data",
                "application/json",
            ),
            *source_files(pattern),
        ),
    )


def _page_words(plan: Plan, cell: Cell, number: int, total: int) -> str:
    """What a page with pattern is called; large sheets are not taped and only counted."""
    if plan.head:
        return say("name_sheet", number=number, total=total)
    return say("name_page", name=cell.name)


def _meetings(joints: Sequence[Joint], printed: Plan) -> dict[Cell, list[Joint]]:
    """Of each printed page the joints with other printed ones."""
    found: dict[Cell, list[Joint]] = {cell: [] for cell in printed.cells}
    for joint in joints:
        if joint.under in found and joint.over in found:
            found[joint.under].append(joint)
            found[joint.over].append(joint)
    return found


def _known(pattern: Pattern, pieces: Sequence[str]) -> None:
    names = [piece.name for piece in pattern.pieces]
    unknown = [name for name in pieces if name not in names]
    if unknown:
        raise PatternError(
            f"there is no piece called {unknown[0]!r}",
            where=pattern.title,
            remedy=f"Use one of {', '.join(repr(name) for name in names)}.",
        )


def _inked(laid: Sequence[Laid], plan: Plan) -> list[frozenset[Cell]]:
    """For each piece the pages for which it has lines, those that only show past a joint left out.

    A piece is printed for lines that come to a page's own part of the sheet.
    """
    cores = Windows([plan.grid.core(cell) for cell in plan.cells])
    return [
        frozenset(plan.cells[i] for found in cores.showing(each.drawn.lines) for i in found)
        for each in laid
    ]


def _keep_strips(pattern: Pattern, plan: Plan, room: Room) -> None:
    """Keep the words in the strips free: where nothing is trimmed, they lie over the neighbour."""
    strip = Strip(pattern, plan, len(plan.cells) + 1)
    bars = word_boxes((draw_bars(plan.grid.setup),), STILL)
    for number, cell in enumerate(plan.cells, start=1):
        words = tuple(strip.draw(say("name_page", name=cell.name), number))
        at = Affine.move(*plan.grid.origin(cell))
        for box in (*word_boxes(words, STILL), *bars):
            room.take(box.moved(at))


def _page(name: str, plan: Plan, items: tuple[Item, ...]) -> Page:
    setup = plan.grid.setup
    # What makes up for a printer lies outside everything else: nothing within needs to know.
    sent = (Group(items, at=setup.sent),) if setup.printer else items
    return Page(name, setup.width, setup.height, sent)


def _on_page(
    under: Sequence[Item],
    over: Sequence[Item],
    seen: Sequence[Shown],
    plan: Plan,
    to_page: Affine,
    names: LayerNames,
) -> tuple[Item, ...]:
    """A page's items: some marks lie under the pattern, all others over it."""
    body: list[Item] = [each.lines(to_page) for each in seen if each.parts]
    words = tuple(each.words(names) for each in seen if each.signs)
    if words:
        body.append(Group(words, at=to_page, furniture=True, layers=(names.words,)))
    items: list[Item] = []
    if under:
        items.append(Group(tuple(under), furniture=True, layers=(names.marks,)))
    if body:
        items.append(Group(tuple(body), window=plan.grid.setup.window))
    items.append(Group(tuple(over), furniture=True, layers=(names.marks,)))
    return tuple(items)


def _to_page(plan: Plan, cell: Cell) -> Affine:
    origin = plan.grid.origin(cell)
    return Affine.move(-origin.x, -origin.y)


def texts_of(publication: Publication) -> str:
    """All that the pages say, for checking that the typeface can print it."""
    return "".join(
        item.text
        for page in publication.pages
        for item in walk(page.items)
        if isinstance(item, Words)
    )
