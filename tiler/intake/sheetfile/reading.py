"""The pattern that a published PDF or a bundle carries, each byte of it as it was."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tiler.intake.files import MIB
from tiler.intake.folder import DRAWING_LIMIT, PATTERN_FILE_LIMIT, read_sources
from tiler.intake.patternfile import PATTERN_FILE, parse_pattern_file
from tiler.intake.sheetfile.archive import MAGIC, Archive
from tiler.intake.sheetfile.careful import careful
from tiler.intake.sheetfile.carried import Carried, read_carried
from tiler.intake.sheetfile.limits import FILE_LIMIT, RECORD_LIMIT, SOURCES_LIMIT, too_much
from tiler.intake.sheetfile.names import refuse_unsafe, shown
from tiler.intake.sheetfile.opened import HEAD, content_of, reader_of, refuse_no_pdf
from tiler.intake.sheetfile.printed import prints
from tiler.intake.sheetfile.record import Told, told_by
from tiler.intake.sheetfile.sums import SUMS, read_sums
from tiler.pattern.errors import BlocksheetError, FileError
from tiler.pattern.model import Pattern, Source

#: Where a bundle keeps the pattern's own files, and the sheets.
PATTERN_FOLDER, SHEETS_FOLDER = "pattern/", "sheets/"
_ASK = "Nothing was written. Ask whoever gave you the file for another one."


@dataclass(frozen=True, slots=True)
class Held:
    """What a file from elsewhere holds.

    Args:
        told: Which pattern it is, by the title in its own files.
        sources: The pattern's own files, sorted by name.
        others: How many files are in it that are not Blocksheet's, and were left alone.
        printed: Whether a page prints the digest as well; not looked at in a bundle.
    """

    told: Told
    sources: tuple[Source, ...]
    others: int
    printed: bool = False


def read_held(path: Path) -> Held:
    """Read the pattern from a published PDF, or from a bundle.

    Args:
        path: The file.

    Raises:
        FileError: It cannot be read, is damaged, locked, too large or no publication; it carries
            no pattern, or one that is not what its record says; or a name in it is unsafe.
        PatternError: The pattern file inside does not hold together.
    """
    where = str(path)
    content = content_of(path, "Give a published PDF or a bundle (a .zip file).")
    if content.startswith((MAGIC, b"PK\x05\x06")):
        try:
            return _from_bundle(content, where)
        except BlocksheetError as wrong:
            raise wrong if wrong.where.startswith(where) else wrong.within(where) from None
    if b"%PDF-" not in content[:HEAD]:
        raise FileError(
            "this is neither a PDF nor a ZIP file",
            where=where,
            remedy="Give a published PDF or a bundle.",
        )
    carried, told = carried_by(content, where)
    if not carried.sources:
        raise _kept(where)
    refuse_wrong(carried.sources, told, where)
    printed = prints(content, told.digest, where)
    told = replace(told, title=_title(carried.sources))
    return Held(told, carried.sources, carried.others, printed)


def carried_by(content: bytes, where: str) -> tuple[Carried, Told]:
    """What a published PDF carries, and what its record says of it.

    Raises:
        FileError: The PDF is damaged, locked, too large or no publication.
    """
    refuse_no_pdf(content, where)
    with careful(where):
        carried = read_carried(reader_of(content).root_object, where)
    return carried, told_by(carried.record, where)


def refuse_wrong(sources: Sequence[Source], told: Told, where: str) -> None:
    """See that files are all those of the pattern that is told of, and no others.

    Raises:
        FileError: They are not, or a name is unsafe.
        PatternError: The pattern file does not hold together.
    """
    try:
        refuse_unsafe(source.name for source in sources)
        _refuse_no_pattern(sources)
    except BlocksheetError as wrong:
        raise wrong.within(where) from None
    digest = Pattern(title="", pieces=(), sources=tuple(sources)).digest
    if digest != told.digest:
        raise FileError(
            f"the pattern inside the file ({digest}) is not the one that its record speaks of "
            f"({told.digest})",
            where=where,
            remedy=_ASK,
        )


def _refuse_no_pattern(sources: Sequence[Source]) -> None:
    """A pattern file with the drawings that it names, or one drawing; nothing beside it."""
    files = {source.name: source.content for source in sources}
    for name, content in files.items():
        limit = PATTERN_FILE_LIMIT if name == PATTERN_FILE else DRAWING_LIMIT
        if len(content) > limit:
            raise too_much(f"{shown(name)} inside it is larger than {limit // MIB} MiB")
    if PATTERN_FILE in files:
        named = {piece.drawing for piece in parse_pattern_file(files[PATTERN_FILE]).pieces}
        named.add(PATTERN_FILE)
    else:
        named = {name for name in files if name.lower().endswith((".svg", ".csv", ".dxf"))}
        named = named if len(named) == 1 else set()
    if missing := sorted(named - files.keys()):
        raise FileError(f"its pattern is not whole: {shown(missing[0])} is missing", remedy=_ASK)
    if strange := sorted(files.keys() - named):
        raise FileError(f"{shown(strange[0])} inside it is no file of its pattern", remedy=_ASK)


def _title(sources: Sequence[Source]) -> str:
    """What the pattern itself says that it is called; a record may say something else."""
    files = {source.name: source.content for source in sources}
    if PATTERN_FILE in files:
        return parse_pattern_file(files[PATTERN_FILE]).title
    return read_sources(sources).title


def _from_bundle(content: bytes, where: str) -> Held:
    archive = Archive(content)
    top = _top(archive)
    sums = read_sums(archive.read(top + SUMS, RECORD_LIMIT))
    there = {name.removeprefix(top) for name in archive.files if name.startswith(top)}
    if missing := sorted(set(sums) - there):
        raise FileError(f"it is not whole: {shown(missing[0])} is missing", remedy=_ASK)
    found: dict[str, bytes] = {}
    told: Told | None = None
    sheets = 0
    for name in archive.files:
        inner = name.removeprefix(top)
        kept = inner.startswith(PATTERN_FOLDER)
        if not name.startswith(top) or inner not in sums:
            if kept:
                raise FileError(f"{shown(name)} is not in its list of checksums", remedy=_ASK)
            continue
        # Every listed file is looked at, so that a bundle that was tampered with shows.
        read = archive.read(name, SOURCES_LIMIT if kept else FILE_LIMIT)
        sums.check(inner, read)
        if kept:
            found[inner.removeprefix(PATTERN_FOLDER)] = read
        elif inner.startswith(SHEETS_FOLDER) and inner.endswith(".pdf"):
            _, sheet = carried_by(read, shown(name))
            sheets += 1
            if told is not None and sheet != told:
                raise FileError(f"{shown(name)} is of another pattern", remedy=_ASK)
            told = sheet
    if told is None:
        raise FileError("it holds no sheets", remedy="Give a bundle as blocksheet made it.")
    if not found:
        raise _kept("")
    sources = tuple(Source(name, found[name]) for name in sorted(found))
    refuse_wrong(sources, told, where)
    told = replace(told, title=_title(sources))
    return Held(told, sources, len(set(archive.files) - {top + name for name in (*sums, SUMS)}))


def title_in_bundle(path: Path) -> str | None:
    """The title of the pattern in a bundle; None when the file is no bundle."""
    where = str(path)
    try:
        archive = Archive(content_of(path, ""))
        top = _top(archive)
        sheets = [name for name in archive.files if name.startswith(top + SHEETS_FOLDER)]
        _, told = carried_by(archive.read(sheets[0], FILE_LIMIT), where)
    except (BlocksheetError, IndexError):
        return None
    return told.title


def _top(archive: Archive) -> str:
    """The folder that the bundle lies in, where somebody has packed it again."""
    tops = [
        name.removesuffix(SUMS)
        for name in archive.files
        if name == SUMS or (name.endswith(f"/{SUMS}") and name.count("/") == 1)
    ]
    if len(tops) != 1:
        raise FileError(
            f"this ZIP file is no bundle: it has no {SUMS}" if not tops else f"it has two {SUMS}",
            remedy="Give a bundle that blocksheet give has written, or a published PDF.",
        )
    return tops[0]


def _kept(where: str) -> FileError:
    return FileError(
        "it does not carry its pattern: whoever made it has kept that",
        where=where,
        remedy="Ask them for it, or for sheets on your paper.",
    )
