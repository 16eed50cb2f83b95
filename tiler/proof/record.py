"""The record: what a publication says of itself, read with distrust."""

from __future__ import annotations

import json
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NoReturn

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import NotProvenError
from tiler.pattern.tolerance import PRINT_COMPENSABLE

FORMAT = 3
#: Ways to join pages.
JOINTS = ("overlap", "butt", "see-through")
#: What a layer can hold beside lines of the pattern.
USES = ("marks", "words")
#: The first page, which may be followed by others that carry no pattern.
START = "start"
#: The most that a printer may be off for pages to make up for it, a share of the length.
MOST_MADE_UP = PRINT_COMPENSABLE.share + 1e-9
#: Places that are the same, millimetres.
_SAME = 0.001
_LARGEST = 1e6  # mm; a kilometre of paper
_MOST = 5000
_LONGEST = 500
_KINDS = ("piece", "style", "use")


@dataclass(frozen=True, slots=True)
class PageEntry:
    """One page that carries the pattern.

    Args:
        name: Row letters and column number.
        row: From the top, from 0.
        column: From the left, from 0.
        origin: Where the page's lower left corner lies on the sheet, millimetres.
    """

    name: str
    row: int
    column: int
    origin: Point


@dataclass(frozen=True, slots=True)
class Placement:
    """Where a piece lies on the sheet: `matrix` takes pattern mm to sheet mm."""

    piece: str
    matrix: Affine


@dataclass(frozen=True, slots=True)
class LayerEntry:
    """A layer, and what it switches: a piece, a style or a use; the other two are empty.

    A piece's layer holds the lines that all its styles share. Inside it, what is a style's own
    stands in the style's layer, and what several styles share shows while one of them is on.
    A use is ``marks`` for what pages print beside the pattern, or ``words`` for what is written
    on the pieces; no lines of the pattern are in those.
    """

    layer: str
    piece: str = ""
    style: str = ""
    use: str = ""


@dataclass(frozen=True, slots=True)
class Record:
    """What the publication says of itself. Lengths are millimetres.

    Args:
        digest: Of the pattern that it was made from.
        width: Of the page.
        height: Of the page.
        window: What a page shows of the pattern, from the page's lower left.
        pitch: From a page to its neighbour on the same sheet, across and down.
        rows: Of the grid of pages.
        columns: Of the grid of pages.
        pages: The pages that carry the pattern, in order.
        placements: One for each piece.
        layers: One for each piece, for each style that has lines of its own, and for each use.
        styles: The styles that were chosen of the pattern's own; empty for all.
        front: Names of the pages before those, which carry no pattern.
        joint: How pages are joined, one of `JOINTS`.
        pieces: The pieces that were chosen of the pattern's own; empty for all.
        head: Where the first page says what front pages say otherwise, sheet mm; None where there
            are front pages.
        unit: How many points the unit of a page is (/UserUnit).
        printer: The printer whose error the pages make up for; empty when they make up for none.
        sent: What is drawn for 1 mm, across and up the page: 1 unless there is such a printer.
    """

    digest: str
    width: float
    height: float
    window: Bounds
    pitch: Point
    rows: int
    columns: int
    pages: tuple[PageEntry, ...]
    placements: tuple[Placement, ...]
    layers: tuple[LayerEntry, ...]
    styles: tuple[str, ...] = ()
    front: tuple[str, ...] = (START,)
    joint: str = JOINTS[0]
    pieces: tuple[str, ...] = ()
    head: Bounds | None = None
    unit: int = 1
    printer: str = ""
    sent: tuple[float, float] = (1.0, 1.0)


def read_record(content: bytes, where: str) -> Record:
    """Read the record.

    Raises:
        NotProvenError: It is no record, is of another format, or says what cannot be.
    """
    reader = _Reader(where)
    try:
        said = json.loads(content, parse_constant=reader.no_number)
    except (ValueError, RecursionError) as wrong:
        reader.refuse(f"its record is no JSON ({str(wrong)[:80]})")
    record = reader.table(said, "the record")
    if record.get("kind") == "calibration page":
        reader.refuse(
            "this is a calibration page, which carries no pattern",
            remedy="It was measured when it was written. Print it and run: blocksheet scale",
        )
    if record.get("kind") == "target cards":
        reader.refuse(
            "these are target cards, which carry no pattern",
            remedy="They were measured when they were written. Print them and lay them round a "
            "tracing for: blocksheet capture",
        )
    if record.get("kind") == "pictures for a projector":
        reader.refuse(
            "these are pictures for a projector, which fit one mat and no sheets of paper",
            remedy="They were measured when they were written. Publish them again with "
            "--on mat:NAME to have them measured once more.",
        )
    if record.get("format") != FORMAT or isinstance(record.get("format"), bool):
        reader.refuse(
            f"its record has format {str(record.get('format'))[:20]!r}, and this version of "
            f"Blocksheet reads format {FORMAT}",
            remedy="Use the version that published it, or publish the pattern again.",
        )
    width, height = reader.numbers(record.get("page"), 2, "page")
    window = Bounds(*reader.numbers(record.get("window"), 4, "window"))
    if not (
        width > 0
        and height > 0
        and 0 <= window.left < window.right <= width
        and 0 <= window.bottom < window.top <= height
    ):
        reader.refuse("in its record, the window does not lie on the page")
    pitch = Point(*reader.numbers(record.get("pitch"), 2, "pitch"))
    # Neighbours overlap, and pages that are two apart do not.
    if not (
        window.width / 2 < pitch.x <= window.width and window.height / 2 < pitch.y <= window.height
    ):
        reader.refuse("in its record, pages one pitch apart have no windows that meet")
    rows = reader.count(record.get("rows"), "rows")
    columns = reader.count(record.get("columns"), "columns")
    pages = _pages(reader, record.get("pages"), rows, columns)
    front = _front(reader, record)
    printer, sent = _made_up(reader, record)
    return Record(
        digest=reader.words(record.get("digest"), "digest"),
        width=width,
        height=height,
        window=window,
        pitch=pitch,
        rows=rows,
        columns=columns,
        pages=pages,
        placements=_placements(reader, record.get("placements")),
        layers=_layers(reader, record.get("layers")),
        styles=_names(reader, record, "styles"),
        front=front,
        joint=reader.one_of(JOINTS, record.get("joint"), "joint"),
        pieces=_names(reader, record, "pieces"),
        head=_head(reader, record, front, pages[0], window),
        unit=reader.count(record.get("unit", 1), "unit"),
        printer=printer,
        sent=sent,
    )


def _names(reader: _Reader, record: dict[str, object], key: str) -> tuple[str, ...]:
    said = reader.items(record.get(key), key)
    names = tuple(reader.words(name, f"a name in {key}") for name in said)
    reader.once(names, f"the name in {key}")
    return names


def _front(reader: _Reader, record: dict[str, object]) -> tuple[str, ...]:
    names = _names(reader, record, "front") if "front" in record else (START,)
    if names[:1] != (() if record.get("head") else (START,)):
        reader.refuse("in its record, the pages before the pattern are not those of Blocksheet")
    return names


def _made_up(reader: _Reader, record: dict[str, object]) -> tuple[str, tuple[float, float]]:
    """The printer whose error the pages make up for, and what they draw for 1 mm."""
    if "made_up" not in record:
        return "", (1.0, 1.0)
    told = reader.table(record["made_up"], "made_up")
    across, up = reader.numbers(told.get("sent"), 2, "made_up")
    if max(abs(1 / factor - 1) if factor > 0 else 1.0 for factor in (across, up)) > MOST_MADE_UP:
        reader.refuse(
            f"it is drawn {across:g} and {up:g} times its size, and no printer in order is off "
            "by so much",
            remedy="Publish the pattern again, and set the printer to 100 %, no scaling.",
        )
    return reader.words(told.get("printer"), "printer"), (across, up)


def _head(
    reader: _Reader,
    record: dict[str, object],
    front: tuple[str, ...],
    first: PageEntry,
    window: Bounds,
) -> Bounds | None:
    """The head of large paper: on the first page, across all of its window and at its top."""
    if front:
        return None
    head = Bounds(*reader.numbers(record.get("head"), 4, "head"))
    x, y = first.origin
    there = Bounds(window.left + x, window.bottom + y, window.right + x, window.top + y)
    sides = (head.left - there.left, head.right - there.right, head.top - there.top)
    if max(abs(side) for side in sides) > _SAME or not there.bottom <= head.bottom < head.top:
        reader.refuse("in its record, the head does not lie at the top of the first page")
    return head


def _pages(reader: _Reader, said: object, rows: int, columns: int) -> tuple[PageEntry, ...]:
    pages = []
    for number, item in enumerate(reader.items(said, "pages")):
        place = f"pages[{number}]"
        page = reader.table(item, place)
        entry = PageEntry(
            name=reader.words(page.get("name"), f"{place}.name"),
            row=reader.count(page.get("row"), f"{place}.row", least=0),
            column=reader.count(page.get("column"), f"{place}.column", least=0),
            origin=Point(*reader.numbers(page.get("origin"), 2, f"{place}.origin")),
        )
        if entry.row >= rows or entry.column >= columns:
            reader.refuse(f"in its record, page {entry.name} lies outside the grid of pages")
        pages.append(entry)
    reader.once([page.name for page in pages], "the page name")
    reader.once([f"row {page.row}, column {page.column}" for page in pages], "the cell")
    if not pages:
        reader.refuse("its record lists no pages")
    return tuple(pages)


def _placements(reader: _Reader, said: object) -> tuple[Placement, ...]:
    placements = []
    for number, item in enumerate(reader.items(said, "placements")):
        place = f"placements[{number}]"
        placement = reader.table(item, place)
        piece = reader.words(placement.get("piece"), f"{place}.piece")
        matrix = reader.numbers(placement.get("matrix"), 6, f"{place}.matrix")
        placements.append(Placement(piece, Affine(*matrix)))
    reader.once([placement.piece for placement in placements], "the placement of")
    return tuple(placements)


def _layers(reader: _Reader, said: object) -> tuple[LayerEntry, ...]:
    layers = []
    for number, item in enumerate(reader.items(said, "layers")):
        place = f"layers[{number}]"
        layer = reader.table(item, place)
        name = reader.words(layer.get("layer"), f"{place}.layer")
        piece, style, use = (
            reader.words(layer.get(key, ""), f"{place}.{key}", empty=True) for key in _KINDS
        )
        if [bool(piece), bool(style), bool(use)].count(True) != 1:
            reader.refuse(f"in its record, {place} is not for one piece, one style or one use")
        if use:
            reader.one_of(USES, use, f"{place}.use")
        layers.append(LayerEntry(name, piece, style, use))
    reader.once([layer.layer for layer in layers], "the layer")
    for key in _KINDS:
        names = [getattr(layer, key) for layer in layers]
        reader.once([name for name in names if name], f"the layer of the {key}")
    return tuple(layers)


class _Reader:
    def __init__(self, where: str) -> None:
        self.where = where

    def refuse(self, problem: str, remedy: str = "Publish the pattern again.") -> NoReturn:
        raise NotProvenError(problem, where=self.where, remedy=remedy)

    def no_number(self, words: str) -> NoReturn:
        raise ValueError(f"{words} is no number")

    def table(self, said: object, place: str) -> dict[str, object]:
        if not isinstance(said, dict):
            self.refuse(f"in its record, {place} is no table")
        return said

    def items(self, said: object, place: str) -> list[object]:
        if not isinstance(said, list):
            self.refuse(f"in its record, {place} is no list")
        if len(said) > _MOST:
            self.refuse(f"in its record, {place} has {len(said):,} entries; {_MOST:,} is the most")
        return said

    def words(self, said: object, place: str, *, empty: bool = False) -> str:
        if not isinstance(said, str) or len(said) > _LONGEST or not (said or empty):
            self.refuse(f"in its record, {place} is no text of 1 to {_LONGEST} letters")
        return said

    def numbers(self, said: object, count: int, place: str) -> list[float]:
        if not isinstance(said, list) or len(said) != count:
            self.refuse(f"in its record, {place} is no list of {count} numbers")
        numbers = []
        for value in said:
            if not isinstance(value, (int, float)) or isinstance(value, bool):
                self.refuse(f"in its record, {place} is no list of {count} numbers")
            if abs(value) > _LARGEST or not math.isfinite(value):
                self.refuse(f"in its record, {place} is absurdly large")
            numbers.append(float(value))
        return numbers

    def count(self, said: object, place: str, *, least: int = 1) -> int:
        if not isinstance(said, int) or isinstance(said, bool) or not least <= said <= _MOST:
            self.refuse(f"in its record, {place} is no whole number from {least} to {_MOST:,}")
        return said

    def one_of(self, choices: Sequence[str], said: object, place: str) -> str:
        if not isinstance(said, str) or said not in choices:
            self.refuse(f"in its record, {place} is none of {', '.join(choices)}")
        return said

    def once(self, names: Sequence[str], what: str) -> None:
        seen: set[str] = set()
        for name in names:
            if name in seen:
                self.refuse(f"in its record, {what} {name} stands twice")
            seen.add(name)
