"""The files of a pattern folder, proven by reading them again, and put in their place."""

from __future__ import annotations

import tomllib
from contextlib import ExitStack
from pathlib import Path, PurePosixPath

from tiler.intake.folder import read_sources
from tiler.intake.patternfile import PATTERN_FILE
from tiler.output.folder.drawing import drawing_of
from tiler.output.folder.names import drawing_names
from tiler.output.folder.sameness import difference
from tiler.output.folder.words import pattern_words
from tiler.output.safely import replacing
from tiler.pattern.errors import BlocksheetError, FileError, PatternError
from tiler.pattern.model import Pattern, Source

#: Decimal places of coordinates: as drawings have them, and where a corner is so nearly another
#: that rounding would change its letter.
_PLACES = (4, 9)


def folder_files(pattern: Pattern) -> dict[str, bytes]:
    """A pattern as read, as the files of a pattern folder: `pattern.toml` and a drawing a piece.

    The files are read again before they are handed over; what comes back is the same pattern
    within 0.001 mm, findings and sources aside. Only where a notch meets an outline is found again
    from the notch's line, within 0.05 mm, and a piece that lies to the left of or below its
    drawing's corner is moved.

    Args:
        pattern: As read, before any drafting.

    Returns:
        File name -> content, UTF-8.

    Raises:
        PatternError: The pattern holds something that a folder cannot say; nothing is dropped.
    """
    drawings = drawing_names([piece.name for piece in pattern.pieces])
    if len(drawings) != len(pattern.pieces):
        raise PatternError("two pieces have the same name", remedy="Rename one of them.")
    words = pattern_words(pattern, drawings)
    told: PatternError | None = None
    for places in _PLACES:
        texts = {PATTERN_FILE: words}
        for piece in pattern.pieces:
            texts[drawings[piece.name]] = drawing_of(piece, places)
        files = {name: _encoded(name, text) for name, text in texts.items()}
        told = _refused(pattern, files)
        if told is None:
            return files
    assert told is not None
    raise told


def write_folder(pattern: Pattern, folder: Path) -> tuple[Path, ...]:
    """Write a pattern folder.

    Files of an earlier version of the same pattern (the same title) are replaced, each whole or
    not at all; `pattern.toml` comes last.

    Args:
        pattern: As read, before any drafting.
        folder: Where; made when it is not there.

    Returns:
        The files written.

    Raises:
        PatternError: The pattern holds something that a folder cannot say.
        FileError: Files of another pattern are there, or the folder cannot be written.
    """
    files = folder_files(pattern)
    _refuse_others(pattern, folder, set(files))
    with ExitStack() as stack:
        # What is entered first is put in its place last.
        for name, content in files.items():
            stack.enter_context(replacing(folder / name)).write_bytes(content)
    return tuple(folder / name for name in files)


def _encoded(name: str, text: str) -> bytes:
    try:
        return text.encode()
    except UnicodeEncodeError:
        raise PatternError(
            "a name or text holds letters that are no text", where=name, remedy="Write it again."
        ) from None


def _refused(pattern: Pattern, files: dict[str, bytes]) -> PatternError | None:
    """What reading the files again has shown; None when it is the same pattern."""
    try:
        again = read_sources([Source(name, content) for name, content in files.items()])
    except BlocksheetError as bad:
        return PatternError(
            f"a pattern folder cannot hold this pattern: {bad.problem}",
            where=bad.where,
            remedy=bad.remedy,
        )
    changed = difference(pattern, again)
    if not changed:
        return None
    if parted := _parted(pattern, again):
        return PatternError(
            f"a pattern folder cannot hold this pattern: {parted} turns by more than 30 degrees on "
            "its way, as a drafted cut line does at a step or a mirrored hem, and a drawing would "
            "part it there into two edges",
            remedy="Write the folder from the tracing that this was drafted from. It can be "
            "published as it is.",
        )
    return PatternError(
        f"a pattern folder cannot hold this pattern as it is: {changed} would change",
        remedy="Write the pattern as it was read, before drafting.",
    )


def _parted(before: Pattern, after: Pattern) -> str:
    """The first edge that has come back in more than one part, or nothing."""
    for old, new in zip(before.pieces, after.pieces, strict=False):
        for one, other in zip(old.outlines, new.outlines, strict=False):
            if len(other.edges) <= len(one.edges):
                continue
            lengths = zip(one.edges, other.edges, strict=False)
            edge = next(
                (a for a, b in lengths if b.path.length < a.path.length - 0.01), one.edges[-1]
            )
            return f"edge {edge.letter} of piece {old.name}"
    return ""


def _refuse_others(pattern: Pattern, folder: Path, names: set[str]) -> None:
    there = sorted(name for name in names if (folder / name).exists())
    if not there:
        return
    own, title = _named_in(folder / PATTERN_FILE)
    if title is not None and title != pattern.title:
        raise FileError(
            f"there is another pattern, {title!r}",
            where=str(folder / PATTERN_FILE),
            remedy="Choose another folder.",
        )
    others = [name for name in there if name not in own]
    if others:
        raise FileError(
            "this file does not belong to the pattern and is not written over",
            where=str(folder / others[0]),
            remedy="Choose another folder, or move the file away.",
        )


def _named_in(file: Path) -> tuple[set[str], str | None]:
    """The files that a pattern file speaks of, itself among them, and its title."""
    if not file.exists():
        return set(), None
    try:
        data = tomllib.loads(file.read_text(encoding="utf-8-sig"))
        pieces = data.get("piece", [])
        drawings = {str(PurePosixPath(str(piece.get("drawing")))) for piece in pieces}
        return {PATTERN_FILE, *drawings}, " ".join(str(data.get("title", "")).split())
    except (OSError, ValueError, AttributeError, RecursionError):
        return set(), None
