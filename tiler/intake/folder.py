"""A pattern from a folder, from one drawing, or from the same files held in memory."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path, PurePosixPath

from tiler.intake.asked import refuse_unknown_asked
from tiler.intake.drawn import DrawnSheet
from tiler.intake.files import (
    MIB,
    content_of,
    drawings_in,
    inside,
    is_there,
    listed,
    shown,
    too_large,
)
from tiler.intake.patternfile import PATTERN_FILE, parse_pattern_file
from tiler.intake.piece import piece_from
from tiler.intake.recall import Recall, afresh
from tiler.intake.tomlwords import toml_key, toml_string
from tiler.intake.words.model import PatternWords, PieceWords
from tiler.pattern.errors import DrawingError, FileError, PatternError
from tiler.pattern.model import Finding, Pattern, Piece, Severity, Source

PATTERN_FILE_LIMIT = 1 * MIB
DRAWING_LIMIT = 32 * MIB


def read_pattern(path: Path) -> Pattern:
    """Read a pattern folder, its `pattern.toml`, a single drawing, or a DXF file.

    Args:
        path: The folder, the file `pattern.toml` in it, an `.svg`, `.csv` or `.dxf` file.

    Raises:
        FileError: A file that is not there, is too large, cannot be read or is no TOML.
        DrawingError: A drawing that is not what a drawing of a piece can be.
        PatternError: A pattern that does not hold together.
    """
    return read_sources(gather(path))


def gather(path: Path, recall: Recall = afresh) -> tuple[Source, ...]:
    """The files that a pattern is made of, sorted by name.

    Args:
        path: As for `read_pattern`.
        recall: How the pattern file is read.

    Raises:
        FileError: A file that is not there, is too large, cannot be read or lies elsewhere.
        PatternError: A pattern file that does not hold together.
    """
    there = is_there(path)
    is_folder = there and path.is_dir()
    if not there:
        raise FileError(
            "there is no such file or folder",
            where=shown(path),
            remedy="Give a pattern folder, its pattern.toml, an .svg drawing, a .csv table of "
            "points or a .dxf file.",
        )
    if not is_folder and path.suffix.lower() in (".svg", ".csv", ".dxf"):
        return (Source(shown(path.name), content_of(path, DRAWING_LIMIT)),)
    if not is_folder and path.name != PATTERN_FILE:
        raise FileError(
            "this is no pattern folder, pattern.toml, .svg drawing, .csv table or .dxf file",
            where=shown(path),
            remedy="Give one of these.",
        )
    folder = path if is_folder else path.parent
    if not is_there(folder / PATTERN_FILE):
        raise _no_pattern_file(folder)
    content = content_of(inside(folder, PATTERN_FILE), PATTERN_FILE_LIMIT)
    return gather_for(folder, content, recall)


def gather_for(folder: Path, content: bytes, recall: Recall = afresh) -> tuple[Source, ...]:
    """The files that a pattern is made of when its pattern file holds these bytes.

    Args:
        folder: Where the drawings lie.
        content: Of the pattern file, which need not lie there yet.
        recall: How the pattern file is read.

    Raises:
        FileError: A file that is not there, is too large, cannot be read or lies elsewhere.
        PatternError: A pattern file that does not hold together.
    """
    sources = {PATTERN_FILE: content}
    for piece in recall(PATTERN_FILE, parse_pattern_file, content).pieces:
        if piece.drawing not in sources:
            if not is_there(folder / piece.drawing):
                raise _no_drawing(piece, drawings_in(folder))
            drawing = inside(folder, piece.drawing)
            sources[piece.drawing] = content_of(drawing, DRAWING_LIMIT)
    return tuple(Source(name, sources[name]) for name in sorted(sources))


def read_sources(sources: Sequence[Source]) -> Pattern:
    """Read a pattern from files in memory: a `pattern.toml` with its drawings, or one file alone.

    Args:
        sources: The files, in any order. Drawings that the pattern file does not name are
            left out. A file alone is a drawing or, by its ending, a DXF file.

    Raises:
        FileError: A file is missing, too large, or is no TOML.
        DrawingError: A drawing that is not what a drawing of a piece can be.
        PatternError: A pattern that does not hold together.
    """
    files = {source.name: source.content for source in sources}
    if len(files) == 1 and next(iter(files)).lower().endswith(".dxf"):
        return _from_dxf(*files.items())
    return pattern_of(words_of(files), files)


def pattern_of(words: PatternWords, files: Mapping[str, bytes], recall: Recall = afresh) -> Pattern:
    """A pattern from what its maker says and the drawings that this names.

    Args:
        words: What `words_of` made of the files.
        files: Name -> content.
        recall: How drawings are read and pieces are put together.

    Raises:
        As `read_sources`.
    """
    used = {PATTERN_FILE} & files.keys()
    sheets: dict[str, DrawnSheet] = {}
    pieces: list[Piece] = []
    findings: list[Finding] = []
    for piece_words in words.pieces:
        drawing = piece_words.drawing
        if piece_words.points:
            drawing = f"{PATTERN_FILE}, {piece_words.name}"
            sheets[drawing] = recall(piece_words.name, _measured, piece_words)
            findings.extend(sheets[drawing].findings)
        elif drawing not in sheets:
            if drawing not in files:
                raise _no_drawing(piece_words, sorted(files.keys() - {PATTERN_FILE}))
            sheets[drawing] = recall(drawing, drawn_sheet, drawing, files[drawing])
            used.add(drawing)
            findings.extend(sheets[drawing].findings)
        # How a drawing is understood does not depend on the piece's own allowance.
        bare = replace(piece_words, allowance=None)
        piece, found = recall(piece_words.name, piece_from, sheets[drawing], bare)
        pieces.append(replace(piece, allowance=piece_words.allowance))
        findings.extend(found)
    refuse_unknown_asked(words, pieces)
    styles, found_styles = _styles(words, pieces, listed=PATTERN_FILE in files)
    return Pattern(
        title=words.title,
        pieces=tuple(pieces),
        maker=words.maker,
        version=words.version,
        about=words.about,
        traced_from=words.traced_from,
        cloths=words.cloths,
        styles=styles,
        findings=(*findings, *_left_out(sheets, words), *found_styles, *_unused_cloths(words)),
        sources=tuple(Source(name, files[name]) for name in sorted(used)),
        seams=words.seams,
        joined=words.joined,
        together=words.together,
        traced_stretch=words.traced_stretch,
        cloth_stretch=words.cloth_stretch,
        handover=words.handover,
        placed=words.placed,
    )


def _from_dxf(file: tuple[str, bytes]) -> Pattern:
    name, content = file
    if len(content) > DRAWING_LIMIT:
        raise too_large(name, DRAWING_LIMIT)
    # Only here: reading DXF brings a heavy library along.
    from tiler.intake.dxf import read_dxf

    return read_dxf(content, name)


def words_of(files: Mapping[str, bytes], recall: Recall = afresh) -> PatternWords:
    """What the maker says of a pattern, or of the one drawing that there is.

    Args:
        files: Name -> content.
        recall: How the pattern file is read.

    Raises:
        FileError: Too large, no TOML, or several files without a pattern file.
        PatternError: A pattern file that does not hold together.
    """
    if PATTERN_FILE in files:
        if len(files[PATTERN_FILE]) > PATTERN_FILE_LIMIT:
            raise too_large(PATTERN_FILE, PATTERN_FILE_LIMIT)
        return recall(PATTERN_FILE, parse_pattern_file, files[PATTERN_FILE])
    if len(files) != 1:
        raise FileError(
            f"{len(files)} files without a pattern.toml are not a pattern",
            remedy="Give a pattern.toml with its drawings, or one drawing.",
        )
    (name,) = files
    stem = "".join(c if c.isprintable() else " " for c in PurePosixPath(name).stem).strip()
    stem = stem or "Piece"
    return PatternWords(title=stem, pieces=(PieceWords(name=stem, drawing=name),))


def drawn_sheet(name: str, content: bytes) -> DrawnSheet:
    """Read a drawing (.svg) or a table of points (.csv).

    Raises:
        FileError: It is too large.
        DrawingError: It is not what it should be.
    """
    if len(content) > DRAWING_LIMIT:
        raise too_large(name, DRAWING_LIMIT)
    if name.lower().endswith(".csv"):
        from tiler.intake.points import read_points

        return read_points(content, name)
    # Only here: reading SVG brings heavy libraries along.
    from tiler.intake.svg import read_svg

    return read_svg(content, name)


def _measured(words: PieceWords) -> DrawnSheet:
    from tiler.intake.points.reader import sheet_of

    try:
        return sheet_of(words.points, words.drawing)
    except DrawingError as bad:
        raise bad.within(words.where) from None


def _styles(
    words: PatternWords, pieces: Sequence[Piece], *, listed: bool
) -> tuple[tuple[tuple[str, str], ...], list[Finding]]:
    """All styles, the described ones first; findings where table and drawings differ."""
    told = dict(words.styles)
    drawn: dict[str, Piece] = {}
    for piece in pieces:
        for style in piece.styles:
            drawn.setdefault(style, piece)
    wished = {wish.style for piece in pieces for wish in piece.wishes.styles}
    findings = [
        Finding(
            "style-not-described",
            Severity.WARNING,
            f"{piece.drawing}, piece {piece.name}",
            f'The style "{style}" is drawn but not described. '
            f'Add {toml_key(style)} = "what it is" under [style] in {PATTERN_FILE}.',
        )
        for style, piece in drawn.items()
        if listed and style not in told
    ]
    findings += [
        Finding(
            "style-not-drawn",
            Severity.WARNING,
            f"{PATTERN_FILE}, table [style]",
            f'No drawing has a line of the style "{style}". '
            f"Give its lines the class style:{style}, or take it out of the table.",
        )
        for style in told
        if style not in drawn and style not in wished
    ]
    return (*words.styles, *((style, "") for style in drawn if style not in told)), findings


def _unused_cloths(words: PatternWords) -> list[Finding]:
    cut_from = {cut.cloth for piece in words.pieces for cut in piece.cuts}
    return [
        Finding(
            "cloth-not-used",
            Severity.NOTE,
            f"{PATTERN_FILE}, table [cloth]",
            f'No piece is cut from "{cloth}". Name it in a cut, or take it out of the table.',
        )
        for cloth, _ in words.cloths
        if cloth not in cut_from
    ]


def _left_out(sheets: dict[str, DrawnSheet], words: PatternWords) -> Iterator[Finding]:
    for name, sheet in sheets.items():
        layers = [piece.layer for piece in words.pieces if piece.drawing == name]
        if not layers or not all(layers):
            continue
        left = [path for path in sheet.paths if not set(layers) & set(path.layers)]
        if left:
            some = ", ".join(dict.fromkeys(path.element for path in left[:3]))
            yield Finding(
                "not-in-a-layer",
                Severity.WARNING,
                name,
                f"Lines outside of the layers that the pieces name were left out: {len(left)} "
                f"({some}). Move them into a layer, or give them the class ignore.",
            )


def _no_pattern_file(folder: Path) -> FileError:
    drawings = drawings_in(folder)
    if not drawings:
        return FileError(
            "the folder has neither a pattern.toml nor an .svg drawing",
            where=shown(folder),
            remedy="Give the folder that holds the pattern, or an .svg drawing.",
        )
    return FileError(
        f"the folder has no pattern.toml; its drawings are {listed(drawings)}",
        where=shown(folder),
        remedy="Write a pattern.toml with a title and, for each drawing, [[piece]] with name = "
        f'"Front" and drawing = {toml_string(drawings[0])}; or give one drawing on its own.',
    )


def _no_drawing(piece: PieceWords, drawings: Sequence[str]) -> PatternError:
    there = f"Drawings there are: {listed(drawings)}."
    return PatternError(
        f'the drawing "{piece.drawing}" is not there',
        where=piece.where,
        remedy=there if drawings else "Put it into the pattern folder, which has no drawings.",
    )
