"""Piece -> its [[piece]] table."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from tiler.intake.tomlwords import toml_string
from tiler.output.folder import toml
from tiler.output.folder.wishwords import dart_words, grain_words, mark_words, notch_words
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Cut, Edge, Lies, Piece
from tiler.pattern.wishes import Finish, Paper


def piece_table(
    piece: Piece, drawing: str, allowance: float | None, *, stitch_line: bool
) -> toml.Table:
    """What is said of a piece.

    Args:
        piece: As read.
        drawing: File of its drawing.
        allowance: Its own, millimetres; None when the pattern's holds or none is known.
        stitch_line: Whether the piece has to say itself that it wants its stitch line drawn.

    Raises:
        PatternError: Outlines of its styles differ in what is said of an edge.
    """
    table = toml.Table("[[piece]]")
    wishes = piece.wishes
    edges = list(agreed_edges(piece))
    table.text("name", piece.name)
    table.text("drawing", drawing)
    table.text("part", piece.part or "")
    table.text("side", piece.side or "")
    table.say("cut", cut_words(piece.cuts))
    table.text("paper", "" if wishes.paper is Paper.HALF else wishes.paper)
    table.say("stitch_line", "true" if stitch_line and wishes.stitch_line else "")
    table.say("allowance", "" if allowance is None else toml.length(allowance))
    _say_edges(table, edges)
    table.pairs("names", [(e.letter, toml_string(e.name)) for e in edges if e.name])
    table.pairs("styles", [(w.style, toml.one_or_list(w.edges)) for w in wishes.styles])
    table.text("press_darts", wishes.press_darts)
    table.say("grain", grain_words(wishes.grain) if wishes.grain else "")
    for key, values in (
        ("darts", [dart_words(dart) for dart in wishes.darts]),
        ("notches", [notch_words(notch) for notch in wishes.notches]),
        ("marks", [mark_words(mark) for mark in wishes.marks]),
        ("notes", [toml_string(note) for note in piece.notes]),
    ):
        table.say(key, toml.listed(values, key) if values else "")
    return table


def agreed_edges(piece: Piece) -> Iterator[Edge]:
    """One edge for each letter; it is on the fold only when it is in every outline.

    Raises:
        PatternError: Outlines of its styles differ in what is said of an edge.
    """
    by_letter: dict[str, list[Edge]] = {}
    for outline in piece.outlines:
        for edge in outline.edges:
            by_letter.setdefault(edge.letter, []).append(edge)
    for letter, same in by_letter.items():
        lies = {edge.lies for edge in same}
        if len(lies) > 1 and Lies.FOLD in lies:
            # A fold line in the drawing says which style is folded there.
            same = [edge for edge in same if edge.lies is not Lies.FOLD]
        first = same[0]
        for edge in same:
            if _said(edge) != _said(first):
                raise PatternError(
                    "the outlines of its styles differ in what becomes of the edge, its name, "
                    "width or finish, and a pattern folder says that once for all styles",
                    where=f"piece {piece.name}, edge {letter}",
                    remedy="Make two pieces of it.",
                )
        yield first


def _said(edge: Edge) -> tuple[Lies, str, float | None, Finish | None]:
    return edge.lies, edge.name, edge.allowance, edge.finish


def cut_words(cuts: Sequence[Cut]) -> str:
    """A cut as ``{ count = 2, cloth = "main", lay = "pair" }``, several as a list; or nothing."""
    words = [_cut(cut) for cut in cuts]
    return words[0] if len(words) == 1 else toml.listed(words, "cut") if words else ""


def _cut(cut: Cut) -> str:
    pairs = [("count", str(cut.count))]
    pairs += [("cloth", toml_string(cut.cloth))] if cut.cloth else []
    return toml.inline([*pairs, ("lay", toml_string(cut.lay))])


def _say_edges(table: toml.Table, edges: list[Edge]) -> None:
    _say_lies(table, Lies.FOLD, edges)
    others = [edge for edge in edges if edge.lies is not Lies.HEM]
    _pairs(table, "allowances", others, lambda e: _width(e.allowance))
    hems: dict[tuple[float | None, Finish | None], list[str]] = {}
    for edge in edges:
        if edge.lies is Lies.HEM:
            hems.setdefault((edge.allowance, edge.finish), []).append(edge.letter)
    plain = hems.pop((None, None), [])
    tables = [_hem(letters, *how) for how, letters in hems.items()]
    if tables:
        words = [*(toml_string(letter) for letter in plain), *tables]
        table.say("hem", words[0] if len(words) == 1 else toml.listed(words, "hem"))
    elif plain:
        table.say("hem", toml.one_or_list(plain))
    _say_lies(table, Lies.RAW, edges)
    _pairs(table, "finish", others, lambda e: toml_string(e.finish) if e.finish else "")


def _say_lies(table: toml.Table, lies: Lies, edges: list[Edge]) -> None:
    letters = [edge.letter for edge in edges if edge.lies is lies]
    table.say(lies, toml.one_or_list(letters) if letters else "")


def _pairs(table: toml.Table, key: str, edges: list[Edge], value: Callable[[Edge], str]) -> None:
    table.pairs(key, [(edge.letter, value(edge)) for edge in edges if value(edge)])


def _width(allowance: float | None) -> str:
    return "" if allowance is None else toml.length(allowance)


def _hem(letters: list[str], allowance: float | None, finish: Finish | None) -> str:
    pairs = [("edge", toml.one_or_list(letters))]
    pairs += [("allowance", toml.length(allowance))] if allowance is not None else []
    pairs += [("finish", toml_string(finish))] if finish else []
    return toml.inline(pairs)
