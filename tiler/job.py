"""The work itself, for the command, the web page and Python alike."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tiler.layout.plan import Plan
    from tiler.layout.tiles import PageSetup
    from tiler.pattern.model import Finding, Pattern
    from tiler.proof import Verdict

#: Called with the name of a stage, the steps done and their total.
Progress = Callable[[str, int, int], None]

ORIENTATIONS = ("auto", "portrait", "landscape")


@dataclass(frozen=True)
class Surface:
    """What to publish on.

    Args:
        paper: Its name, such as ``a4``.
        orientation: auto (whichever needs fewer pages), portrait or landscape.
        margin: What the printer leaves free on each side, millimetres.
        overlap: How far neighbouring printable areas cover each other, millimetres.
    """

    paper: str
    orientation: str = "auto"
    margin: float = 10.0
    overlap: float = 10.0


@dataclass(frozen=True)
class Published:
    """One finished file.

    Args:
        file: Where it is.
        plan: What lies where in it.
        front: Pages before those with the pattern.
        verdict: What reading it back has shown.
        findings: What could not be printed as it stands.
    """

    file: Path
    plan: Plan
    front: int
    verdict: Verdict
    findings: tuple[Finding, ...] = ()


def read(source: Path) -> Pattern:
    """Read a pattern folder or file, a drawing, a DXF file, or ``demo:NAME``, draft and check it.

    Half pieces stay half, with the letters of the tracing.

    Raises:
        BlocksheetError: It cannot be read or does not hold together.
    """
    from tiler.drafting.draft import drafted
    from tiler.drafting.soundness import sound
    from tiler.intake.folder import read_pattern

    return sound(drafted(read_pattern(locate(source))))


def locate(source: Path) -> Path:
    """Where a pattern lies: the path itself, or that of a demo for ``demo:NAME``.

    Raises:
        FileError: There is no such demo.
    """
    from tiler.sheets.words import shipped

    name = str(source)
    if name.startswith("demo:"):
        return _demo(shipped("demo_pieces"), name.removeprefix("demo:"))
    return source


def _demo(folder: Path, name: str) -> Path:
    from tiler.pattern.errors import FileError

    names = sorted(path.parent.name for path in folder.glob("*/pattern.toml"))
    if name not in names:
        raise FileError(
            f"there is no demo pattern called {name!r}",
            remedy=f"Use one of {', '.join(f'demo:{known}' for known in names)}.",
        )
    return folder / name


def publish(
    pattern: Pattern,
    surfaces: Sequence[Surface],
    out: Path,
    progress: Progress | None = None,
    styles: Sequence[str] = (),
) -> list[Published]:
    """Write and prove one tiled PDF for each surface; nothing is kept that does not prove.

    Args:
        pattern: What to publish, as `read` gives it.
        surfaces: On what.
        out: The folder for the files.
        progress: Told about long work.
        styles: Names of the styles to publish; empty for all, nested.

    Raises:
        BlocksheetError: A surface has no room, the folder cannot be written, or a file does not
            prove; a file from an earlier run is left as it was.
    """
    from tiler.drafting.paper import for_paper
    from tiler.layout.place import place
    from tiler.output.safely import writable

    pattern = for_paper(pattern, styles)
    # Everything that can be refused is refused before anything is written.
    setups = [_setups(surface) for surface in surfaces]
    writable(out)
    name = "-".join(slug(word) for word in (pattern.title, *styles))
    targets = [out / f"{name}-{each[0].paper.name.lower()}.pdf" for each in setups]
    for target in targets:
        _refuse_other(pattern, target)
    plans = [
        place(pattern, each, _step(progress, f"placing on {each[0].paper.name}")) for each in setups
    ]
    return [
        _publish(pattern, plan, target, progress, styles)
        for plan, target in zip(plans, targets, strict=True)
    ]


def _step(progress: Progress | None, stage: str) -> Callable[[int, int], None] | None:
    return (lambda done, total: progress(stage, done, total)) if progress else None


def _refuse_other(pattern: Pattern, target: Path) -> None:
    """A file of that name which holds a pattern of another title stays."""
    from tiler.pattern.errors import FileError
    from tiler.proof.title import title_of

    title = title_of(target)
    if title is not None and title != pattern.title:
        raise FileError(
            f"there is a file of another pattern, {title!r}",
            where=str(target),
            remedy="Choose another folder with --out, or another title.",
        )


def _setups(surface: Surface) -> list[PageSetup]:
    from tiler.layout.papers import find_paper
    from tiler.layout.tiles import PageSetup

    paper = find_paper(surface.paper)
    sides = {"auto": (False, True), "portrait": (False,), "landscape": (True,)}
    return [
        PageSetup(paper, landscape, surface.margin, surface.overlap)
        for landscape in sides[surface.orientation]
    ]


def _publish(
    pattern: Pattern, plan: Plan, target: Path, progress: Progress | None, styles: Sequence[str]
) -> Published:
    from tiler.pattern.errors import StoppedError

    try:
        return _written(pattern, plan, target, progress, styles)
    except KeyboardInterrupt:
        raise StoppedError(
            "stopped before it was finished",
            where=str(target),
            remedy="What was there before is untouched.",
        ) from None


def _written(
    pattern: Pattern, plan: Plan, target: Path, progress: Progress | None, styles: Sequence[str]
) -> Published:
    from tiler.output.pdf import pdf_bytes
    from tiler.output.safely import replacing
    from tiler.pattern.errors import NotProvenError
    from tiler.proof import prove
    from tiler.sheets.publication import lay_out, texts_of

    paper = plan.grid.setup.paper.name
    publication = lay_out(pattern, plan, _step(progress, f"drawing {paper}"), styles=styles)
    with replacing(target) as draft:
        draft.write_bytes(pdf_bytes(publication, _step(progress, f"writing {paper}")))
        if progress:
            progress(f"proving {paper}", 0, 1)
        verdict = prove(draft, pattern)
        if not verdict.proven:
            raise NotProvenError(
                " ".join(verdict.sentences(limit=5)),
                where=str(target),
                remedy="Nothing was written. Please report this: it is a fault of the tool.",
            )
    front = len(publication.pages) - len(plan.cells)
    return Published(target, plan, front, verdict, _unprintable(texts_of(publication)))


def slug(title: str) -> str:
    """A file name from a title: lower case, words joined by hyphens, any alphabet."""
    plain = unicodedata.normalize("NFC", title.lower().replace("'", ""))
    kept = (c if c.isalnum() or unicodedata.category(c)[0] == "M" else " " for c in plain)
    name = "-".join("".join(kept).split())
    # File systems count bytes, and 255 is the most that all of them take.
    return name.encode()[:150].decode(errors="ignore") or "pattern"


def _unprintable(text: str) -> tuple[Finding, ...]:
    from tiler.pattern.model import Finding, Severity
    from tiler.sheets.lettering import unprintable

    missing = unprintable(text)
    if not missing:
        return ()
    words = f"The typeface cannot print {missing!r}; these letters are blank or out of order."
    return (Finding("letters-missing", Severity.WARNING, "", words),)


def look(pattern: Pattern, source: Path, picture: Path) -> None:
    """Write a picture of all pieces with lettered edges (SVG, PNG or PDF by its ending).

    Args:
        pattern: What to draw.
        source: Where it was read from; its own files are never written over.
        picture: The file to write.

    Raises:
        FileError: No such format, one of the pattern's own files, or it cannot be written.
    """
    from tiler.output.picture import write_picture
    from tiler.sheets.picture import draw_picture

    refuse_own(pattern, source, picture)
    write_picture(draw_picture(pattern), pattern.title, picture)


def refuse_own(pattern: Pattern, source: Path, target: Path) -> None:
    """See that a file to be written is none of those that the pattern was read from.

    Raises:
        FileError: It is.
    """
    from tiler.pattern.errors import FileError

    source = locate(source)
    folder = source if source.is_dir() else source.parent
    if target.resolve() in {(folder / file.name).resolve() for file in pattern.sources}:
        raise FileError(
            "this file belongs to the pattern and is not written over",
            where=str(target),
            remedy="Choose another name.",
        )


def export(source: Path, target: Path) -> tuple[Path, ...]:
    """Write a pattern as a DXF file (ASTM D6673), or as a pattern folder to go on with by hand.

    DXF carries the drafted half pieces: cut lines, stitch lines, marks. A folder carries the
    tracing and what is asked for, as it was read.

    Args:
        source: As for `read`.
        target: A file ending in .dxf, or a folder.

    Returns:
        The files written.

    Raises:
        BlocksheetError: The pattern cannot be read or written so, or the target is one of its own
            files or belongs to another pattern.
    """
    from tiler.output.safely import replacing
    from tiler.pattern.errors import FileError

    if target.suffix.lower() != ".dxf":
        from tiler.intake.folder import read_pattern
        from tiler.output.folder import write_folder

        if target.suffix and not target.is_dir():
            raise FileError(
                f"there is no format {target.suffix!r}",
                where=str(target),
                remedy="Give a file ending in .dxf, or a folder.",
            )
        traced = read_pattern(locate(source))
        for file in traced.sources:
            refuse_own(traced, source, target / file.name)
        return write_folder(traced, target)
    from tiler.output.dxf import dxf_bytes

    pattern = read(source)
    refuse_own(pattern, source, target)
    with replacing(target) as draft:
        draft.write_bytes(dxf_bytes(pattern))
    return (target,)


def prove_file(file: Path, against: Path | None = None) -> Verdict:
    """Measure a published PDF against a pattern, or against the one that it carries.

    Raises:
        BlocksheetError: The file or the pattern cannot be read.
    """
    from tiler.proof import prove

    return prove(file, read(against) if against else None, on_paper=False)
