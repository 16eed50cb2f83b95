"""A DXF file after ASTM D6673 -> a pattern."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import PurePosixPath

from ezdxf.document import Drawing
from ezdxf.entities.insert import Insert
from ezdxf.entities.line import Line as LineEntity
from ezdxf.entities.mtext import MText
from ezdxf.entities.text import Text
from ezdxf.math import Vec3

from tiler.intake.dxf.document import guarded, opened
from tiler.intake.dxf.drawn import Block, Field, fields_of
from tiler.intake.dxf.entities import Budget, block_of, text_of
from tiler.intake.dxf.piece import piece_of
from tiler.intake.dxf.sizes import nested
from tiler.intake.dxf.units import SCALE_WITHIN, unit_of
from tiler.intake.dxf.words import unused_keys
from tiler.intake.patternfile import PIECE_LIMIT
from tiler.intake.tomltable import NAME_LIMIT, TEXT_LIMIT
from tiler.pattern.affine import Point
from tiler.pattern.errors import DrawingError, LengthError
from tiler.pattern.model import Finding, Pattern, Piece, Severity, Source
from tiler.pattern.units import format_mm, parse_length

_STYLE_FIELDS = frozenset(
    ("style name", "author", "version", "units", "about", "traced from", "scale check")
)
_NUMBERED = re.compile(r"(cloth|variant) (\d{1,3})( about)?")


def read_dxf(content: bytes, name: str) -> Pattern:
    """Read a pattern from an ASCII DXF file after ASTM D6673: one block a piece.

    Lines keep their place within a block; where a block is inserted on the sheet says nothing of
    the piece, but its turn, flip and scale are heeded. The unit comes from the text "Units", else
    from $INSUNITS. The same piece in several sizes becomes one piece with a style a size.

    Args:
        content: The file's bytes.
        name: The file's name, for messages, and the title when the file has none.

    Raises:
        DrawingError: Not such a file, one without a unit, or a piece without one closed boundary.
    """
    drawing = opened(content, name)
    with guarded(name):
        sheet = _sheet_fields(drawing)
        inserts = _inserted(drawing, name)
        mm, findings = unit_of([*sheet, *_inner_unit_fields(drawing, inserts)], drawing, name)
    _check_scale(sheet, drawing, mm, name)
    budget = Budget(name)
    blocks: list[Block] = []
    for block, insert in inserts.items():
        findings += _placing(insert, f"{name}, block {block}")
        read = block_of(insert, block, drawing, mm, budget)
        if read.strands or read.dots:
            blocks.append(read)
        else:
            findings += _left_out(read, name)
    if not blocks:
        raise DrawingError(
            "the file has no pieces: no block with lines on the layers of ASTM D6673 is in it",
            where=name,
            remedy='Save it as "DXF ASTM D6673": one block a piece, the boundary on layer 1.',
        )
    styles = _numbered(sheet, "variant")
    pieces, found = _pieces(blocks, [style for style, _ in styles], name)
    told = dict(styles)
    told.update({style: "" for piece in pieces for style in piece.styles if style not in told})
    return Pattern(
        title=_value(sheet, "style name") or _value(blocks[0].fields, "style name") or _stem(name),
        pieces=pieces,
        maker=_value(sheet, "author"),
        version=_value(sheet, "version"),
        about=_value(sheet, "about", TEXT_LIMIT),
        cloths=tuple(_numbered(sheet, "cloth")),
        styles=tuple(told.items()),
        findings=(*findings, *found, *_unused(sheet, blocks, name)),
        sources=(Source(name, content),),
        traced_from=_value(sheet, "traced from"),
    )


def _sheet_fields(drawing: Drawing) -> list[Field]:
    """The fields that stand beside the pieces, in the drawing's own unit."""
    texts = []
    for entity in drawing.modelspace():
        if isinstance(entity, Text | MText):
            place = Vec3(entity.dxf.insert)
            texts += [(line, Point(place.x, place.y)) for line in text_of(entity)]
    return fields_of(texts)


def _inserted(drawing: Drawing, name: str) -> dict[str, Insert | None]:
    """The blocks that are pieces, in order: those inserted, or all when none is."""
    found: dict[str, Insert | None] = {}
    for entity in drawing.modelspace():
        if isinstance(entity, Insert) and entity.dxf.name in drawing.blocks:
            found.setdefault(str(entity.dxf.name), entity)
    if not found:
        found = {b.name: None for b in drawing.blocks if not b.is_any_layout and len(b)}
    if len(found) > PIECE_LIMIT * 5:
        raise DrawingError(
            f"the file has {len(found)} blocks",
            where=name,
            remedy="Split the style into several files.",
        )
    return found


def _inner_unit_fields(drawing: Drawing, blocks: Iterable[str]) -> list[Field]:
    """Fields inside the blocks: some programs state the unit there."""
    texts = []
    for block in blocks:
        for entity in drawing.blocks.get(block) or ():
            if isinstance(entity, Text | MText):
                texts += [(line, Point(0, 0)) for line in text_of(entity)]
    return [field for field in fields_of(texts) if field.key == "units"]


def _check_scale(sheet: Sequence[Field], drawing: Drawing, mm: float, name: str) -> None:
    """Refuse a file whose line of stated length has another one: it has been scaled."""
    stated = next((f for f in sheet if f.key == "scale check"), None)
    if stated is None:
        return
    try:
        wanted = parse_length(stated.value.split(",")[0])
    except LengthError:
        return
    for entity in drawing.modelspace():
        if not isinstance(entity, LineEntity):
            continue
        length = Vec3(entity.dxf.start).distance(Vec3(entity.dxf.end)) * mm
        if abs(length - wanted) > SCALE_WITHIN * wanted:
            raise DrawingError(
                f"the line beside the pieces that should be {format_mm(wanted)} long is "
                f"{format_mm(length, 2)} long: the drawing has been scaled, or its unit is wrong",
                where=f"{name}, text Scale Check",
                remedy="Correct the text Units or the size of the drawing.",
            )
        return


def _placing(insert: Insert | None, where: str) -> list[Finding]:
    if insert is None:
        return []
    across, up = abs(insert.dxf.xscale), abs(insert.dxf.yscale)
    if not across or abs(across - up) > 1e-6 * across:
        raise DrawingError(
            f"the block is stretched: {across:g} across and {up:g} up",
            where=where,
            remedy="Insert it with the scale 1.",
        )
    if abs(across - 1) <= 1e-9:
        return []
    return [
        Finding(
            "block-scaled",
            Severity.WARNING,
            where,
            f"The block is inserted at a scale of {across:g} and is read at that size. Measure a "
            "printed line before you cut.",
        )
    ]


def _pieces(
    blocks: Sequence[Block], styles: Sequence[str], name: str
) -> tuple[tuple[Piece, ...], list[Finding]]:
    findings: list[Finding] = []
    groups: dict[str, list[tuple[Piece, str]]] = {}
    for block in blocks:
        called = (block.value("piece name") or block.name)[:NAME_LIMIT].strip() or "Piece"
        size = block.value("size")[:NAME_LIMIT].strip()
        piece, found = piece_of(block, called, styles, name)
        findings += [*found, *_left_out(block, name)]
        group = groups.setdefault(called.casefold(), [])
        if any(other == size for _, other in group):
            renamed = _free_name(called, groups)
            findings.append(_twice(called, renamed, name))
            piece = replace(piece, name=renamed)
            groups[renamed.casefold()] = [(piece, size)]
        else:
            group.append((piece, size))
    if len(groups) > PIECE_LIMIT:
        raise DrawingError(
            f"the pattern has {len(groups)} pieces",
            where=name,
            remedy=f"Keep a pattern to {PIECE_LIMIT} pieces; split it into several files.",
        )
    return tuple(nested(group) for group in groups.values()), findings


def _free_name(called: str, taken: dict[str, list[tuple[Piece, str]]]) -> str:
    number = 2
    while f"{called} {number}".casefold() in taken:
        number += 1
    return f"{called} {number}"


def _twice(called: str, renamed: str, name: str) -> Finding:
    return Finding(
        "piece-renamed",
        Severity.WARNING,
        name,
        f'Two blocks are the piece "{called}" in the same size; the later one is called '
        f'"{renamed}" here. See whether it is needed.',
    )


def _left_out(block: Block, name: str) -> list[Finding]:
    left = [f"{what} ({count})" for what, count in block.left_out.items()]
    if not left:
        return []
    more = f"; and {len(left) - 10} more kinds" if len(left) > 10 else ""
    text = f"Left out: {'; '.join(left[:10])}{more}."
    return [Finding("left-out", Severity.WARNING, f"{name}, block {block.name[:40]}", text)]


def _unused(sheet: Sequence[Field], blocks: Sequence[Block], name: str) -> list[Finding]:
    keys = [
        f.key or f.value
        for f in sheet
        if f.key not in _STYLE_FIELDS and not _NUMBERED.fullmatch(f.key)
    ]
    keys += [key for block in blocks for key in unused_keys(block)]
    keys = list(dict.fromkeys(keys))
    if not keys:
        return []
    more = f" and {len(keys) - 10} more" if len(keys) > 10 else ""
    listed = ", ".join(f'"{key[:30]}"' for key in keys[:10]) + more
    return [Finding("texts-not-used", Severity.NOTE, name, f"Texts that were not used: {listed}.")]


def _numbered(sheet: Sequence[Field], kind: str) -> list[tuple[str, str]]:
    """Names with what is said of them, from "Cloth 1: main" and "Cloth 1 About: Canvas"."""
    names: dict[int, str] = {}
    about: dict[int, str] = {}
    for field in sheet:
        match = _NUMBERED.fullmatch(field.key)
        if match and match[1] == kind:
            if match[3]:
                about[int(match[2])] = field.value[:TEXT_LIMIT]
            else:
                names[int(match[2])] = field.value[:NAME_LIMIT].strip()
    return [(names[n], about.get(n, "")) for n in sorted(names) if names[n]]


def _value(fields: Sequence[Field], key: str, limit: int = NAME_LIMIT) -> str:
    return next((f.value[:limit].strip() for f in fields if f.key == key), "")


def _stem(name: str) -> str:
    stem = "".join(c if c.isprintable() else " " for c in PurePosixPath(name).stem).strip()
    return stem or "Pattern"
