"""The work itself, for the command, the web page and Python alike."""

from __future__ import annotations

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
    """Read a pattern folder, a pattern file, a drawing, or ``demo:NAME``, and check it.

    Raises:
        BlocksheetError: It cannot be read or does not hold together.
    """
    from tiler.drafting.soundness import sound
    from tiler.intake.folder import read_pattern
    from tiler.sheets.words import shipped

    name = str(source)
    if name.startswith("demo:"):
        source = _demo(shipped("demo_pieces"), name.removeprefix("demo:"))
    return sound(read_pattern(source))


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
    pattern: Pattern, surfaces: Sequence[Surface], out: Path, progress: Progress | None = None
) -> list[Published]:
    """Write and prove one tiled PDF for each surface; nothing is kept that does not prove.

    Args:
        pattern: What to publish.
        surfaces: On what.
        out: The folder for the files.
        progress: Told about long work.

    Raises:
        BlocksheetError: A surface has no room, the folder cannot be written, or a file does not
            prove; a file from an earlier run is left as it was.
    """
    from tiler.output.safely import writable

    setups = [_setups(surface) for surface in surfaces]
    writable(out)
    return [_publish(pattern, setup, out, progress) for setup in setups]


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
    pattern: Pattern, setups: list[PageSetup], out: Path, progress: Progress | None
) -> Published:
    from tiler.pattern.errors import StoppedError

    paper = setups[0].paper.name
    target = out / f"{slug(pattern.title)}-{paper.lower()}.pdf"
    try:
        return _written(pattern, setups, target, progress)
    except KeyboardInterrupt:
        raise StoppedError(
            "stopped before it was finished",
            where=str(target),
            remedy="What was there before is untouched.",
        ) from None


def _written(
    pattern: Pattern, setups: list[PageSetup], target: Path, progress: Progress | None
) -> Published:
    from tiler.layout.place import place
    from tiler.output.pdf import pdf_bytes
    from tiler.output.safely import replacing
    from tiler.pattern.errors import NotProvenError
    from tiler.proof import prove
    from tiler.sheets.publication import lay_out, texts_of

    def step(stage: str) -> Callable[[int, int], None] | None:
        return (lambda done, total: progress(stage, done, total)) if progress else None

    paper = setups[0].paper.name
    plan = place(pattern, setups, step(f"placing on {paper}"))
    publication = lay_out(pattern, plan, step(f"drawing {paper}"))
    with replacing(target) as draft:
        draft.write_bytes(pdf_bytes(publication, step(f"writing {paper}")))
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
    words = "".join(c if c.isalnum() else " " for c in title.lower().replace("'", "")).split()
    return "-".join(words)[:80] or "pattern"


def _unprintable(text: str) -> tuple[Finding, ...]:
    from tiler.pattern.model import Finding, Severity
    from tiler.sheets.lettering import unprintable

    missing = unprintable(text)
    if not missing:
        return ()
    words = f"The typeface cannot print {missing!r}; these letters are blank or out of order."
    return (Finding("letters-missing", Severity.WARNING, "", words),)


def look(pattern: Pattern, picture: Path) -> None:
    """Write a picture of all pieces with lettered edges (SVG, PNG or PDF by its ending).

    Raises:
        FileError: No such format, or the file cannot be written.
    """
    from tiler.output.picture import write_picture
    from tiler.sheets.picture import draw_picture

    write_picture(draw_picture(pattern), pattern.title, picture)


def prove_file(file: Path, against: Path | None = None) -> Verdict:
    """Measure a published PDF against a pattern, or against the one that it carries.

    Raises:
        BlocksheetError: The file or the pattern cannot be read.
    """
    from tiler.proof import prove

    return prove(file, read(against) if against else None)
