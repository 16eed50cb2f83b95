"""A pattern as one file for a friend: sheets, notes, lay plans, licence, and the pattern itself."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.job.bundling import Bundling, Giving
from tiler.job.handing import stoppable
from tiler.job.naming import file_stem
from tiler.job.options import Surface
from tiler.job.private import refuse_named
from tiler.job.progress import Progress
from tiler.job.publishing import Published
from tiler.job.surfaces import is_mat
from tiler.pattern.errors import BlocksheetError, FileError, PaperError, PatternError

if TYPE_CHECKING:
    from tiler.drafting.checks import Fault
    from tiler.pattern.model import Finding, Pattern

_MOST_LICENCE = 1024 * 1024


@dataclass(frozen=True)
class Given:
    """A bundle that was written.

    Args:
        file: Where it is.
        digest: Of the pattern that was given.
        names: What is in it.
        sizes: Bytes of each of them, unpacked.
        size: Bytes of the file.
        sheets: The published files, whose `file` is the path in the bundle.
        licensed: Whether it says what one may do with the pattern.
        findings: What was noticed on the way.
    """

    file: Path
    digest: str
    names: tuple[str, ...]
    sizes: tuple[int, ...]
    size: int
    sheets: tuple[Published, ...]
    licensed: bool
    findings: tuple[Finding, ...]


def spoilt(pattern: Pattern, styles: Sequence[str] = ()) -> tuple[Fault, ...]:
    """What the bench check says would spoil the garment, to be told before a pattern is given.

    Args:
        pattern: As `read` gives it.
        styles: Names of the styles to give; empty for all.

    Raises:
        PatternError: A piece cannot be cut at all, and `give` would refuse it; or no such style.
    """
    from tiler.drafting.checks import inspect
    from tiler.pattern.model import Severity

    _refuse_uncut(pattern, styles)
    return tuple(each for each in inspect(pattern).faults if each.severity is Severity.ERROR)


def licence_from(file: Path) -> tuple[str, ...]:
    """The paragraphs of a licence text.

    Raises:
        FileError: It cannot be read, is empty or no UTF-8 text.
    """
    from tiler.intake.files import content_of

    content = content_of(file, _MOST_LICENCE)
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise FileError(
            "this is not UTF-8 text", where=str(file), remedy="Save it as plain text, in UTF-8."
        ) from None
    paragraphs = licence_in(text)
    if not paragraphs:
        raise FileError("the licence is empty", where=str(file), remedy="Write it down first.")
    return paragraphs


def licence_in(text: str) -> tuple[str, ...]:
    """The paragraphs of a licence, which empty lines part; none where nothing is written."""
    plain = "\n".join(line.rstrip() for line in text.splitlines())
    return tuple(part.strip("\n") for part in plain.split("\n\n") if part.strip())


def bundle_name(pattern: Pattern, styles: Sequence[str]) -> str:
    """What a bundle is called where nobody has said."""
    return f"{file_stem((pattern.title, *styles))}.zip"


def give(
    pattern: Pattern,
    surfaces: Sequence[Surface],
    target: Path,
    giving: Giving | None = None,
    progress: Progress | None = None,
) -> Given:
    """Write a bundle; its sheets are proven, and the bundle is read back before it is kept.

    Args:
        pattern: As `read` gives it.
        surfaces: The papers.
        target: The ZIP file.
        giving: What goes into it.
        progress: Told about long work.

    Raises:
        BlocksheetError: Something cannot be made, is not proven or would tell what is private; a
            name is not one on every system; or another file is in the way. The target is as it
            was then.
    """
    from tiler.output.bundle.texts import language_of
    from tiler.output.safely import replacing, writable

    giving = giving or Giving()
    language = language_of(giving.language, pattern.handover.language)
    findings = _two_licences(pattern, giving)
    if giving.licence is not None:
        pattern = replace(pattern, handover=replace(pattern.handover, licence=giving.licence))
    if giving.private:
        refuse_named(pattern)
    else:
        _refuse_names(pattern)
    _refuse_surfaces(surfaces)
    _refuse_uncut(pattern, giving.styles)
    _refuse_other(pattern, target)
    writable(target.parent)
    with stoppable(target), _room(target) as room:
        maker = Bundling(pattern, giving, language, room, progress)
        files = maker.files(surfaces)
        with replacing(target) as draft:
            content = _bundle(files)
            draft.write_bytes(content)
    return Given(
        target,
        pattern.digest,
        tuple(files),
        tuple(len(each) for each in files.values()),
        len(content),
        tuple(maker.sheets),
        bool(pattern.handover.licence),
        (*findings, *maker.findings),
    )


def _two_licences(pattern: Pattern, giving: Giving) -> tuple[Finding, ...]:
    """That a friend finds another licence in the pattern file."""
    from tiler.pattern.model import Finding, Severity

    said = pattern.handover.licence
    if giving.private or giving.licence is None or said in ((), giving.licence):
        return ()
    text = (
        "The pattern file in the bundle stays as it is, and says something else about what others "
        "may do than the licence that is given with it. Change it there as well."
    )
    return (Finding("two-licences", Severity.WARNING, pattern.title, text),)


def _bundle(files: dict[str, bytes]) -> bytes:
    """The ZIP file, which another reader has taken apart again.

    Raises:
        FileError: It does not hold what it should; this is a fault of the tool.
    """
    from tiler.intake.sheetfile.archive import Archive
    from tiler.output.bundle.archive import zip_bytes

    content = zip_bytes(files)
    archive = Archive(content)
    for name, wanted in files.items():
        if archive.read(name, len(wanted)) != wanted:
            raise FileError(f"{name!r} does not come out of the bundle as it went in")
    return content


@contextmanager
def _room(target: Path) -> Iterator[Path]:
    """A folder to work in, which no message speaks of."""
    with tempfile.TemporaryDirectory(prefix="blocksheet-") as name:
        try:
            yield Path(name)
        except BlocksheetError as wrong:
            if name not in wrong.where:
                raise
            raise type(wrong)(wrong.problem, where=str(target), remedy=wrong.remedy) from None


def _refuse_names(pattern: Pattern) -> None:
    """See that the pattern's files can be unpacked on any system, before any work is done."""
    from tiler.job.naming import file_name_findings

    for finding in file_name_findings(pattern):
        raise FileError(finding.text.rstrip("."), where=finding.where)


def _refuse_surfaces(surfaces: Sequence[Surface]) -> None:
    mats = [surface.paper for surface in surfaces if is_mat(surface.paper)]
    if mats:
        raise PaperError(
            f"{mats[0]} is a mat under a projector of your own, and a friend's is another one",
            remedy="Give papers, such as --on a4 --on letter. From the bundle a friend publishes "
            "for a mat of their own.",
        )


def _refuse_uncut(pattern: Pattern, styles: Sequence[str]) -> None:
    """A piece that cannot be cut as it is drawn is nothing to give, unlike one that sews badly."""
    from tiler.drafting.checks.foldcuts import cannot_be_cut
    from tiler.drafting.styles.chosen import only_styles

    for piece in (only_styles(pattern, styles) if styles else pattern).pieces:
        for fault in cannot_be_cut(piece):
            raise PatternError(
                f"{fault.text[0].lower()}{fault.text[1:]}", where=fault.where, remedy=fault.remedy
            )


def _refuse_other(pattern: Pattern, target: Path) -> None:
    """A file that is not a bundle of this pattern stays, and a bundle is called one."""
    from tiler.intake.sheetfile.names import is_device
    from tiler.intake.sheetfile.reading import title_in_bundle

    if is_device(target.name):
        raise FileError(
            "this is the name of a device on some systems, where nobody can save it",
            where=str(target),
            remedy="Give another name with --out.",
        )
    if target.suffix.lower() != ".zip":
        raise FileError(
            "a bundle is a ZIP file, and other systems know it by its ending",
            where=str(target),
            remedy="Give a name that ends in .zip.",
        )
    if not target.exists() and not target.is_symlink():
        return
    title = title_in_bundle(target)
    if title != pattern.title:
        problem = f"there is a bundle of another pattern, {title!r}" if title else None
        raise FileError(
            problem or "there is a file that is no bundle, and it is not written over",
            where=str(target),
            remedy="Give another name with --out.",
        )
