"""The pattern file: what `pattern.toml` says, checked, before any drawing is read."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import PurePosixPath, PureWindowsPath

from tiler.intake.tomlplaces import TomlPlaces
from tiler.intake.tomltable import NAME_LIMIT, TomlTable, kind_of, near_miss
from tiler.intake.tomlwords import toml_key
from tiler.pattern.errors import FileError, PatternError
from tiler.pattern.model import Cut, Lay, Lies

PATTERN_FILE = "pattern.toml"
PIECE_LIMIT = 200
#: Python's TOML parser takes time that grows with the square of a dotted key's length, so that
#: one line of a megabyte would hang it.
LINE_LIMIT = 5000

_TOP = (
    "title",
    "maker",
    "version",
    "about",
    "allowance",
    "traced_from",
    "cloth",
    "style",
    "piece",
)
_PIECE = (
    "name",
    "drawing",
    "layer",
    "cut",
    "allowance",
    "fold",
    "hem",
    "raw",
    "names",
    "notes",
)
_CUT = ("count", "cloth", "lay")
_LAYS = '"fold" (on the fold), "pair" (mirrored) or "copies" (all the same way up)'


@dataclass(frozen=True, slots=True)
class EdgeWord:
    """One thing that the maker says of one edge.

    Args:
        letter: Which edge.
        lies: What becomes of it; None when only its name is given.
        name: Its name; empty when only its lie is given.
        where: File, line, piece and key.
    """

    letter: str
    lies: Lies | None
    name: str
    where: str


@dataclass(frozen=True, slots=True)
class PieceWords:
    """What the maker says of one piece.

    Args:
        name: Unique in the pattern.
        drawing: File of the drawing, relative to the pattern folder, with forward slashes.
        layer: The layer of the drawing that holds the piece; empty for the whole drawing.
        cuts: The cutting instruction; empty when not said.
        allowance: Millimetres; None when not said.
        edges: What is said of its edges.
        notes: The maker's words.
        where: File, line and piece.
    """

    name: str
    drawing: str
    layer: str = ""
    cuts: tuple[Cut, ...] = ()
    allowance: float | None = None
    edges: tuple[EdgeWord, ...] = ()
    notes: tuple[str, ...] = ()
    where: str = ""


@dataclass(frozen=True, slots=True)
class PatternWords:
    """What the maker says of the whole pattern; names as in `tiler.pattern.model.Pattern`."""

    title: str
    pieces: tuple[PieceWords, ...]
    maker: str = ""
    version: str = ""
    about: str = ""
    traced_from: str = ""
    cloths: tuple[tuple[str, str], ...] = ()
    styles: tuple[tuple[str, str], ...] = ()


def parse_pattern_file(content: bytes, file: str = PATTERN_FILE) -> PatternWords:
    """Read and check the words of a pattern file.

    Args:
        content: The file's bytes, UTF-8.
        file: Its name, for messages.

    Raises:
        FileError: Not UTF-8, or not TOML; with line and column.
        PatternError: TOML that does not make a pattern; with line, piece and key.
    """
    text, data = _parsed(content, file)
    top = TomlTable(data, TomlPlaces.of(file, text))
    top.only(_TOP)
    title = top.must("title", '"Potting apron"')
    allowance = top.length("allowance")
    cloths = _described(top, "cloth")
    pieces = tuple(_piece(table, allowance, dict(cloths)) for table in _piece_tables(top))
    _unique(pieces)
    return PatternWords(
        title=title,
        pieces=pieces,
        maker=top.text("maker", limit=NAME_LIMIT),
        version=top.text("version", limit=NAME_LIMIT),
        about=top.text("about"),
        traced_from=top.text("traced_from"),
        cloths=cloths,
        styles=_described(top, "style"),
    )


def _parsed(content: bytes, file: str) -> tuple[str, dict[str, object]]:
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as bad:
        line = content.count(b"\n", 0, bad.start) + 1
        raise FileError(
            "this is not UTF-8 text", where=f"{file} line {line}", remedy="Save it as UTF-8."
        ) from None
    for number, line_text in enumerate(text.split("\n"), start=1):
        if len(line_text) > LINE_LIMIT:
            raise FileError(
                f"the line has {len(line_text)} characters",
                where=f"{file} line {number}",
                remedy=f"Keep lines to {LINE_LIMIT} characters.",
            )
    try:
        return text, tomllib.loads(text)
    except tomllib.TOMLDecodeError as bad:
        place = re.search(r"\(at (?:line (\d+), column (\d+)|end of document)\)", str(bad))
        words = str(bad)[: place.start()].strip() if place else str(bad)
        where = f"{file} line {place[1]}, column {place[2]}" if place and place[1] else file
        if place and not place[1]:
            where, words = f"{file} line {text.count(chr(10)) + 1}", f"{words} at the end"
        raise FileError(
            f"this is not TOML: {words[:200]}",
            where=where,
            remedy='Lines read key = "value", under headers such as [[piece]].',
        ) from None
    except (ValueError, RecursionError):
        # A number of thousands of digits, or lists inside one another without end.
        raise FileError(
            "this is not TOML that can be read: a number is too long or lists lie too deep",
            where=file,
            remedy='Lines read key = "value", under headers such as [[piece]].',
        ) from None


def _described(top: TomlTable, key: str) -> tuple[tuple[str, str], ...]:
    table = top.inner(key)
    for name in table.data:
        if not name.strip() or len(name) > NAME_LIMIT or not name.isprintable():
            raise table.error(f"a {key} has no usable name", remedy='Write main = "Linen".')
        if isinstance(table.data[name], dict):
            # TOML takes a point in a bare key as the way into another table.
            raise table.error(
                f"{key} {toml_key(name)} is a table, not text",
                name,
                'Write name = "what it is", a name with a point in it in quotation marks too.',
            )
    return tuple((name, table.text(name)) for name in table.data)


def _piece_tables(top: TomlTable) -> Iterator[TomlTable]:
    found = top.data.get("piece")
    remedy = 'Add for each piece [[piece]] with name = "Front" and drawing = "front.svg".'
    if isinstance(found, dict):
        raise top.error("[piece] stands in single brackets", "piece", "Write [[piece]].")
    if not isinstance(found, list) or not found:
        raise top.error("the pattern has no pieces", remedy=remedy)
    if len(found) > PIECE_LIMIT:
        raise top.error(
            f"the pattern has {len(found)} pieces",
            remedy=f"Keep a pattern to {PIECE_LIMIT} pieces; split it into several folders.",
        )
    for nth, data in enumerate(found):
        if not isinstance(data, dict):
            raise top.error(f"piece {nth + 1} is {kind_of(data)}, not a table", "piece", remedy)
        about = data.get("name")
        known = isinstance(about, str) and about.isprintable() and 0 < len(about) <= NAME_LIMIT
        about = f"piece {about}" if known else f"piece number {nth + 1}"
        yield TomlTable(data, top.places, "piece", nth, len(found), about)


def _piece(table: TomlTable, allowance: float | None, cloths: dict[str, str]) -> PieceWords:
    table.only(_PIECE)
    own = table.length("allowance")
    return PieceWords(
        name=table.must("name", '"Front"'),
        drawing=_drawing(table),
        layer=table.text("layer", limit=NAME_LIMIT),
        cuts=tuple(_cuts(table, cloths)),
        allowance=allowance if own is None else own,
        edges=tuple(_edge_words(table)),
        notes=table.texts("notes"),
        where=table.where(),
    )


def _drawing(table: TomlTable) -> str:
    drawing = table.must("drawing", '"front.svg"')
    path = PurePosixPath(drawing)
    windows = PureWindowsPath(drawing)
    if path.is_absolute() or windows.drive or windows.root or "\\" in drawing:
        raise table.error(
            f'the drawing "{drawing}" is not named from the pattern folder',
            "drawing",
            "Put the drawing into the folder and give its name, with forward slashes.",
        )
    if ".." in path.parts:
        raise table.error(
            f'the drawing "{drawing}" lies outside of the pattern folder',
            "drawing",
            "Put the drawing into the folder.",
        )
    if path.suffix.lower() != ".svg":
        raise table.error(
            f'the drawing "{drawing}" is not an .svg file', "drawing", "Save it as SVG."
        )
    return str(path)


def _cuts(table: TomlTable, cloths: dict[str, str]) -> Iterator[Cut]:
    value = table.data.get("cut", [])
    for each in value if isinstance(value, list) else [value]:
        cut = table.under("cut", each)
        cut.only(_CUT)
        count = cut.count("count")
        cloth = cut.text("cloth", limit=NAME_LIMIT)
        if cloth and cloths and cloth not in cloths:
            raise cut.error(
                f'there is no cloth "{cloth}" in the table [cloth]',
                "cloth",
                near_miss(cloth, cloths),
            )
        lay = cut.text("lay", limit=NAME_LIMIT)
        if lay not in tuple(Lay):
            problem = f'there is no lay "{lay}"' if lay else "lay is missing"
            raise cut.error(problem, "lay", f"Write {_LAYS}.")
        yield Cut(count, cloth, Lay(lay))


def _edge_words(table: TomlTable) -> Iterator[EdgeWord]:
    given: dict[str, str] = {}
    for lies in (Lies.FOLD, Lies.HEM, Lies.RAW):
        for letter in table.texts(lies.value, limit=NAME_LIMIT):
            letter = letter.upper()
            before = given.setdefault(letter, lies.value)
            if before != lies.value:
                raise table.error(
                    f"edge {letter} is given as {before} and as {lies.value}",
                    lies.value,
                    "Keep one of the two.",
                )
            yield EdgeWord(letter, lies, "", table.where(lies.value))
    names = table.inner("names")
    for letter in names.data:
        name = names.text(letter, limit=NAME_LIMIT)
        yield EdgeWord(letter.strip().upper(), None, name, table.where("names"))


def _unique(pieces: tuple[PieceWords, ...]) -> None:
    seen: dict[str, PieceWords] = {}
    for piece in pieces:
        first = seen.setdefault(piece.name.casefold(), piece)
        if first is not piece:
            raise PatternError(
                f'two pieces are called "{piece.name}"',
                where=piece.where,
                remedy=f"Rename one; the first is at {first.where}.",
            )
