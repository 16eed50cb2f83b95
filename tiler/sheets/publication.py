"""A plan becomes a publication: the start page, then every page that carries ink."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from tiler import __version__
from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern
from tiler.pattern.path import rectangle
from tiler.sheets.assembly import thumbnail
from tiler.sheets.bars import draw_bars
from tiler.sheets.drawing import (
    Attachment,
    Drawing,
    Fill,
    Group,
    Item,
    Page,
    Publication,
    Stroke,
    Use,
    Words,
    walk,
)
from tiler.sheets.extent import word_boxes
from tiler.sheets.ground import Ground
from tiler.sheets.joints import draw_joints, find_joints
from tiler.sheets.lettering import SMALL, TITLE, height_of, shortened, width_of
from tiler.sheets.piece import PlacedDrawing, draw_piece, layer_names
from tiler.sheets.room import Room, as_line, boxes_in
from tiler.sheets.start import draw_front
from tiler.sheets.words import say

RECORD_NAME = "blocksheet.json"
#: 2: styles are layers of their own, inside the layers of the pieces.
RECORD_FORMAT = 2
#: The most room for a page's place in the whole, across and up, millimetres.
THUMB = (28.0, 17.0)

Progress = Callable[[int, int], None]


def lay_out(
    pattern: Pattern,
    plan: Plan,
    progress: Progress | None = None,
    styles: Sequence[str] = (),
) -> Publication:
    """Everything that is printed for a plan, ready for an output.

    Args:
        pattern: What is published.
        plan: Where it lies.
        progress: Called with the number of pages drawn and their total.
        styles: The styles that were chosen from the pattern's own; empty for all.
    """
    setup = plan.grid.setup
    ground = Ground.of(plan)
    layers: list[PlacedDrawing] = []
    notes: dict[str, tuple[str, ...]] = {}
    for placement in plan.placements:
        drawn, complete = draw_piece(placement, pattern, ground)
        layers.append(drawn)
        if not complete:
            notes[placement.piece.name] = placement.piece.notes
    room = _room(layers)
    joints = find_joints(plan, room)
    first = draw_front(pattern, plan, notes)
    total = len(plan.cells) + len(first)
    pages = []
    for number, (name, items) in enumerate(first, start=1):
        strip = draw_bars_and_strip(pattern, plan, say("name_front", name=name), number, total)
        pages.append(_page(name, plan, (*items, *strip)))
    thumb, to_thumb = thumbnail(plan, *THUMB)
    windows = [(cell, plan.grid.window(cell)) for cell in plan.cells]
    touched = [_touching(layer, windows) for layer in layers]
    for number, cell in enumerate(plan.cells, start=len(first) + 1):
        if progress:
            progress(number, total)
        near = [layer for layer, cells in zip(layers, touched, strict=True) if cell in cells]
        here = [joint for joint in joints if cell in (joint.under, joint.over)]
        to_page = _to_page(plan, cell)
        marks = [
            *draw_joints(here, cell, to_page, setup, room),
            *_page_tag(cell, plan, room, thumb, to_thumb),
            *draw_bars_and_strip(pattern, plan, say("name_page", name=cell.name), number, total),
        ]
        lines = tuple(Use(layer.drawing, layer.at.then(to_page)) for layer in near)
        body = Group(lines, window=setup.window)
        # Tints lie under the pattern, every other mark over it.
        under = tuple(item for item in marks if isinstance(item, Fill))
        over = tuple(item for item in marks if not isinstance(item, Fill))
        pages.append(
            Page(
                cell.name, setup.width, setup.height, (*_furniture(under), body, *_furniture(over))
            )
        )
    names = layer_names(pattern)
    lists = tuple(names.styles.values()), tuple(names.pieces.values())
    headings = (say("layers_styles"), lists[0]), (say("layers_pieces"), lists[1])
    return Publication(
        title=pattern.title,
        author=pattern.maker,
        subject=f"{setup.words}, {total} pages, pattern digest {pattern.digest}",
        pages=tuple(pages),
        layers=(*lists[0], *lists[1]),
        headings=headings if lists[0] else (),
        attachments=(
            Attachment(
                RECORD_NAME,
                _record(pattern, plan, [name for name, _ in first], styles),
                "Data",
                "application/json",
            ),
            *(
                Attachment(source.name, source.content, "Source", _media_type(source.name))
                for source in pattern.sources
            ),
        ),
    )


def _page(name: str, plan: Plan, items: tuple[Item, ...]) -> Page:
    return Page(name, plan.grid.setup.width, plan.grid.setup.height, _furniture(items))


def _furniture(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """Items without facts of their own gathered into as few groups as keep their order."""
    gathered: list[Item] = []
    plain: list[Item] = []
    for item in items:
        if isinstance(item, Group) and item.facts:
            if plain:
                gathered.append(Group(tuple(plain), furniture=True))
                plain = []
            gathered.append(item)
        else:
            plain.append(item)
    if plain:
        gathered.append(Group(tuple(plain), furniture=True))
    return tuple(gathered)


def draw_bars_and_strip(
    pattern: Pattern, plan: Plan, name: str, number: int, total: int
) -> list[Item]:
    """Check bars, and the line of words above the window that says what page this is."""
    setup = plan.grid.setup
    window = setup.window
    text = say(
        "strip",
        title=pattern.title,
        name=name,
        number=number,
        total=total,
        digest=pattern.digest,
    )
    if width_of(text, SMALL) > window.width:
        over = width_of(text, SMALL) - window.width
        title = shortened(pattern.title, SMALL, width_of(pattern.title, SMALL) - over - 1)
        text = text.replace(pattern.title, title, 1)
    at = Point(window.left, setup.printable.top - height_of(SMALL) - 0.2)
    return [*draw_bars(setup), Words(text, at, SMALL, grey=0.1)]


def _to_page(plan: Plan, cell: Cell) -> Affine:
    origin = plan.grid.origin(cell)
    return Affine.move(-origin.x, -origin.y)


def _room(layers: list[PlacedDrawing]) -> Room:
    """Every line and every word on the pieces, as obstacles on the sheet."""
    room = Room([line for layer in layers for line in _lines(layer.drawing.items, layer.at)])
    for layer in layers:
        for box in word_boxes(layer.drawing.items, layer.at):
            room.take(box.grown(1.0))
    return room


def _lines(items: tuple[Item, ...], at: Affine) -> Iterator[BaseGeometry]:
    """The lines of items, those in groups too, after a map."""
    for item in items:
        if isinstance(item, Stroke | Fill):
            for path in item.paths:
                yield as_line(path, at)
        elif isinstance(item, Group):
            yield from _lines(item.items, item.at.then(at) if item.at else at)
        elif isinstance(item, Use):
            yield from _lines(item.drawing.items, item.at.then(at))


def _touching(layer: PlacedDrawing, windows: list[tuple[Cell, Bounds]]) -> frozenset[Cell]:
    """The pages on which something of a layer can be seen."""
    lines = list(_lines(layer.drawing.items, layer.at))
    words: list[BaseGeometry] = [
        shapely.box(*box) for box in word_boxes(layer.drawing.items, layer.at)
    ]
    shape = shapely.GeometryCollection(lines + words)
    shapely.prepare(shape)
    # Lines are flattened to 0.1 mm, so whatever comes that near may touch the window.
    near = Bounds(*shape.bounds).grown(0.5)
    return frozenset(
        cell
        for cell, window in windows
        if window.meets(near) and shape.intersects(shapely.box(*window.grown(0.5)))
    )


def _page_tag(cell: Cell, plan: Plan, room: Room, thumb: Drawing, to_thumb: Affine) -> list[Item]:
    """The page's name, large, with its place in the whole, where no line runs."""
    core = plan.grid.core(cell).grown(-6.0)
    to_page = _to_page(plan, cell)
    place = plan.grid.core(cell).moved(to_thumb)
    for size_pt, with_thumb in ((TITLE, True), (TITLE, False), (12.0, False)):
        name_width = width_of(cell.name, size_pt, bold=True)
        width = name_width + (thumb.bounds.width + 3 if with_thumb else 0)
        height = height_of(size_pt)
        if with_thumb:
            height = max(height, thumb.bounds.height)
        spots = boxes_in(core, width, height, 10.0 if with_thumb else 6.0)
        spot = room.first_free(spots, 1.0)
        if spot is None:
            continue
        spot = spot.moved(to_page)
        baseline = Point(spot.left, spot.top - height_of(size_pt))
        items: list[Item] = [Words(cell.name, baseline, size_pt, bold=True, grey=0.35)]
        if with_thumb:
            at = Affine.move(spot.right - thumb.bounds.right, spot.top - thumb.bounds.top)
            mine = rectangle(place.moved(at))
            items.append(Group((Fill((mine,), 0.5), Use(thumb, at))))
        return items
    return []


def _media_type(name: str) -> str:
    return "image/svg+xml" if name.lower().endswith(".svg") else "application/toml"


def _record(pattern: Pattern, plan: Plan, front: list[str], styles: Sequence[str]) -> bytes:
    """What the layout decided, for whoever reads the file back (JSON, millimetres)."""
    setup, grid = plan.grid.setup, plan.grid
    names = layer_names(pattern)
    record = {
        "format": RECORD_FORMAT,
        "tool": f"blocksheet {__version__}",
        "title": pattern.title,
        "digest": pattern.digest,
        "paper": setup.paper.name,
        "page": [setup.width, setup.height],
        "margin": setup.margin,
        "overlap": setup.overlap,
        "window": list(setup.window),
        "pitch": list(setup.pitch),
        "rows": grid.rows,
        "columns": grid.columns,
        "front": front,
        "pages": [
            {
                "name": cell.name,
                "row": cell.row,
                "column": cell.column,
                "origin": list(grid.origin(cell)),
            }
            for cell in plan.cells
        ],
        "placements": [
            {"piece": placement.piece.name, "matrix": list(placement.at)}
            for placement in plan.placements
        ],
        "styles": list(styles),
        "layers": [
            *({"layer": name, "style": style} for style, name in names.styles.items()),
            *({"layer": name, "piece": piece} for piece, name in names.pieces.items()),
        ],
    }
    return json.dumps(record, ensure_ascii=False, separators=(",", ":")).encode()


def texts_of(publication: Publication) -> str:
    """All that the pages say, for checking that the typeface can print it."""
    return "".join(
        item.text
        for page in publication.pages
        for item in walk(page.items)
        if isinstance(item, Words)
    )
