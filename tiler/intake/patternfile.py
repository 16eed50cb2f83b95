"""The pattern file: what `pattern.toml` says, checked, before any drawing is read."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any

from tiler.intake.tomlplaces import TomlPlaces
from tiler.intake.tomltable import NAME_LIMIT, TomlTable, kind_of
from tiler.intake.tomlvalues import choice_in, flag_in, percent_in
from tiler.intake.tomlwords import toml_key
from tiler.intake.words import handover
from tiler.intake.words.model import PatternWords, PieceWords
from tiler.intake.words.piece import Common, piece_words, traced_in
from tiler.intake.words.placed import KEY as PLACED
from tiler.intake.words.placed import placed_in
from tiler.intake.words.seams import joined_in, refuse_unjoined, seams_in
from tiler.intake.words.stretch import MOST_STRETCH, cloth_stretch
from tiler.intake.words.stylenames import refuse_style_name
from tiler.intake.words.together import KEY as KEEP_TOGETHER
from tiler.intake.words.together import together_in
from tiler.pattern.errors import FileError, PatternError
from tiler.pattern.wishes import NotchShape

PATTERN_FILE = "pattern.toml"
PIECE_LIMIT = 200
#: An edit asks for the words of the file before and after it several times over.
_LATELY = 4
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
    "traced",
    "traced_stretch",
    "notch",
    "stitch_line",
    "joined",
    KEEP_TOGETHER,
    "cloth",
    "stretch",
    "style",
    "piece",
    "seam",
    PLACED,
    *handover.KEYS,
)


@lru_cache(maxsize=_LATELY)
def parse_pattern_file(content: bytes, file: str = PATTERN_FILE) -> PatternWords:
    """Read and check the words of a pattern file.

    Args:
        content: The file's bytes, UTF-8.
        file: Its name, for messages.

    Raises:
        FileError: Not UTF-8, or not TOML; with line and column.
        PatternError: TOML that does not make a pattern; with line, piece and key.
    """
    text, data = parsed_file(content, file)
    top = TomlTable(data, TomlPlaces.of(file, text))
    top.only(_TOP)
    title = top.must("title", '"Potting apron"')
    cloths = _described(top, "cloth")
    styles = _described(top, "style")
    allowance = top.length("allowance")
    tables = list(_piece_tables(top))
    names = tuple(table.text("name", limit=NAME_LIMIT) for table in tables)
    common = Common(
        allowance=allowance,
        cloths=dict(cloths),
        pieces=names,
        traced=traced_in(top),
        traced_where=top.where("traced"),
        stitch_line=bool(flag_in(top, "stitch_line")),
        notch=choice_in(top, "notch", NotchShape) or NotchShape.SLIT,
    )
    pieces = tuple(piece_words(table, common) for table in tables)
    _unique(pieces)
    seams = tuple(seams_in(top, names))
    refuse_unjoined(pieces, seams)
    return PatternWords(
        title=title,
        pieces=pieces,
        maker=top.text("maker", limit=NAME_LIMIT),
        version=top.text("version", limit=NAME_LIMIT),
        about=top.text("about"),
        traced_from=top.text("traced_from"),
        cloths=cloths,
        styles=styles,
        seams=seams,
        joined=joined_in(top, names),
        together=together_in(top, names),
        traced_stretch=percent_in(top, "traced_stretch", MOST_STRETCH),
        cloth_stretch=tuple(cloth_stretch(top, dict(cloths))),
        handover=handover.handover_in(top, dict(cloths), dict(styles)),
        placed=tuple(placed_in(top)),
    )


@lru_cache(maxsize=_LATELY)
def parsed_file(content: bytes, file: str) -> tuple[str, Mapping[str, Any]]:
    """The text of a TOML file, and what a parser finds in it; it is shared, and not to be changed.

    Raises:
        FileError: Not UTF-8, not TOML, or lines that are too long; with line and column.
    """
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
        if key == "style":
            refuse_style_name(table, name)
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
