"""A pattern in true size on the cutting mat: pictures for a projector, each set proven."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.job.handing import not_proven, stoppable
from tiler.job.letters import unprintable_findings
from tiler.job.naming import chosen_pieces, file_stem, refuse_other, slug
from tiler.job.progress import Progress, steps_of
from tiler.job.surfaces import mat_name

if TYPE_CHECKING:
    from tiler.layout.mats.mat import Mat
    from tiler.layout.mats.windows import Series, Shown
    from tiler.pattern.bounds import Bounds
    from tiler.pattern.model import Finding, Pattern
    from tiler.proof.projected import Outcome
    from tiler.sheets.drawing import Page, Publication
    from tiler.sheets.projected import Setting, View
    from tiler.sheets.projectedstart import Promise

GROUNDS = ("dark", "light")
HALVES = ("as-set", "folded", "opened")

#: A window needs that much each way to be of use, mm.
SMALLEST = 200.0

#: A wider line would hide what lies beside it, mm; common practice, no source.
THICKEST = 4.0


@dataclass(frozen=True)
class Showing:
    """How pieces are shown on the mat.

    Args:
        line: Width of a cut line, mm; never thinner than what is seen everywhere on the mat.
        ground: dark (light lines) or light (dark lines).
        mirrored: Whether pieces are shown from their other side.
        any_turn: Whether the grain need not lie along the mat, where that needs fewer windows.
        halves: Half pieces as the pattern sets them for paper, all folded or all opened.
        one_by_one: Whether small pieces do not share a window.
        styles: Names of the styles to show; empty for all, nested.
        pieces: Names of the pieces to show; empty for all.
    """

    line: float = 1.5
    ground: str = "dark"
    mirrored: bool = False
    any_turn: bool = False
    halves: str = "as-set"
    one_by_one: bool = False
    styles: tuple[str, ...] = ()
    pieces: tuple[str, ...] = ()


@dataclass(frozen=True)
class Projected:
    """A finished set.

    Args:
        folder: With one picture for each window, in order, after the first one.
        pdf: The same pictures as pages.
        windows: Name of each window, and the pieces that it shows with where they lie on the mat.
        line: Width of a cut line, mm.
        error: What is to be expected at the worst corner, mm.
        outcome: What reading the set back has shown.
        findings: What could not be shown as it was asked.
    """

    folder: Path
    pdf: Path
    windows: tuple[tuple[str, tuple[Shown, ...]], ...]
    line: float
    error: float
    outcome: Outcome
    findings: tuple[Finding, ...] = ()


def mats_named(words: Iterable[str]) -> list[Mat]:
    """The mats that ``mat:NAME`` stands for, so that what cannot be used is refused first of all.

    Raises:
        FileError: There is no such mat.
        ProjectionError: It was not measured yet.
    """
    from tiler.job.mats import find_mat

    mats = [find_mat(mat_name(word)) for word in words]
    for mat in mats:
        mat.to_mat()
    return mats


def project(
    pattern: Pattern,
    mat: Mat,
    out: Path,
    showing: Showing | None = None,
    progress: Progress | None = None,
) -> Projected:
    """Write and prove the pictures of a pattern for a mat; nothing is kept that does not prove.

    Args:
        pattern: What to show, as `read` gives it.
        mat: A mat whose picture was measured.
        out: The folder for the set: a folder of pictures and a PDF.
        showing: How.
        progress: Told about long work.

    Raises:
        BlocksheetError: The mat was not measured or is too small, there is no such piece or style,
            there are files of somebody else in the folder, it cannot be written, or the set does
            not prove; what was there before is untouched.
    """
    from tiler.job.folders import refuse_foreign
    from tiler.output.safely import writable

    showing = showing or Showing()
    _refuse_line(showing.line)
    shown, names = _chosen(pattern, showing)
    words = (shown.title, *showing.styles, *dict.fromkeys(showing.pieces), "mat", mat.name)
    folder = out / file_stem(words)
    pdf = folder.with_name(f"{folder.name}.pdf")
    writable(out)
    refuse_foreign(folder)
    refuse_other(shown, pdf)
    with stoppable(folder):
        return _made(shown, names, mat, folder, pdf, showing, progress)


def _chosen(pattern: Pattern, showing: Showing) -> tuple[Pattern, frozenset[str]]:
    """The pattern as it is shown, and the names of the pieces that are."""
    from tiler.drafting.paper import for_paper, has_fold
    from tiler.pattern.wishes import Paper

    if showing.halves != "as-set":
        paper = Paper.WHOLE if showing.halves == "opened" else Paper.HALF
        pieces = tuple(
            replace(p, wishes=replace(p.wishes, paper=paper)) if has_fold(p) else p
            for p in pattern.pieces
        )
        pattern = replace(pattern, pieces=pieces, joined=())
    pattern = for_paper(pattern, showing.styles)
    names = chosen_pieces(pattern, showing.pieces)
    return pattern, frozenset(names or (piece.name for piece in pattern.pieces))


def _made(
    pattern: Pattern,
    names: frozenset[str],
    mat: Mat,
    folder: Path,
    pdf: Path,
    showing: Showing,
    progress: Progress | None,
) -> Projected:
    from tiler.job.folders import replacing_folder
    from tiler.layout.mats.accuracy import accuracy_of
    from tiler.layout.mats.usable import usable_rectangle
    from tiler.output.pdf import pdf_bytes
    from tiler.output.safely import replacing
    from tiler.output.screen import screen_png
    from tiler.sheets.projected import Setting, foot_of
    from tiler.sheets.projected import views as views_of
    from tiler.sheets.projectedpens import Brush
    from tiler.sheets.projectedstart import Promise
    from tiler.sheets.publication import texts_of

    accuracy = accuracy_of(mat)
    line = max(showing.line, accuracy.smallest_line)
    foot = foot_of(mat.name, pattern)
    frame = usable_rectangle(mat)
    _refuse_small(frame, mat)
    setting = Setting(pattern, frame, Brush(line, accuracy.smallest_line), foot, showing.mirrored)
    setting, series = _arranged(names, setting, showing)
    views = views_of(series, setting)
    promise = Promise(mat.name, len(views), accuracy.error)
    pages = _pages(setting, views, promise, mat, showing, progress)
    publication = _publication(pattern, mat, pages)
    content = pdf_bytes(publication, steps_of(progress, "writing the PDF"))
    if progress:
        progress("proving", 0, 1)
    outcome = _proven(content, mat, setting, views, folder)
    if progress:
        progress("drawing pictures", 0, 1)
    pictures = screen_png(pages, mat.width_px, mat.height_px)
    digits = max(2, len(str(len(pages))))
    files = {
        f"{number:0{digits}d}-{slug(page.name)}.png": picture
        for number, (page, picture) in enumerate(zip(pages, pictures, strict=True), start=1)
    }
    with replacing(pdf) as draft:
        draft.write_bytes(content)
        with replacing_folder(folder) as drafts:
            for name, picture in files.items():
                (drafts / name).write_bytes(picture)
    return Projected(
        folder=folder,
        pdf=pdf,
        windows=tuple((view.name, view.shown) for view in views),
        line=line,
        error=accuracy.error,
        outcome=outcome,
        findings=(*unprintable_findings(texts_of(publication)), *_thicker(showing, line, mat)),
    )


def _refuse_line(line: float) -> None:
    from tiler.pattern.errors import LengthError
    from tiler.pattern.units import format_mm

    if not 0 < line <= THICKEST:
        raise LengthError(
            f"a line {format_mm(line)} wide cannot be shown",
            where="--line",
            remedy=f"Give more than 0 mm and no more than {format_mm(THICKEST)}.",
        )


def _refuse_small(frame: Bounds, mat: Mat) -> None:
    from tiler.pattern.errors import ProjectionError
    from tiler.pattern.units import format_mm

    if min(frame.width, frame.height) < SMALLEST:
        raise ProjectionError(
            f"the picture covers no more than {format_mm(frame.width, 0)} by "
            f"{format_mm(frame.height, 0)} of it",
            where=f"mat {mat.name}",
            remedy=f"It takes {format_mm(SMALLEST, 0)} each way. Move the projector and measure "
            "the mat again.",
        )


def _arranged(
    names: frozenset[str], setting: Setting, showing: Showing
) -> tuple[Setting, list[Series]]:
    """The windows; where a flat head leaves room for fewer of them, it is flat."""
    from tiler.layout.mats.turning import turned
    from tiler.layout.units import units_of
    from tiler.sheets.projected import arranged

    units = [u for u in units_of(setting.pattern) if any(piece.name in names for piece in u)]
    found = []
    for each in (setting, replace(setting, flat=True)):
        laid = [
            turned(
                unit,
                each.field,
                margin=each.brush.line,
                mirrored=showing.mirrored,
                any_turn=showing.any_turn,
            )
            for unit in units
        ]
        found.append((each, arranged(laid, each, one_by_one=showing.one_by_one)))
    return min(found, key=lambda pair: sum(len(series.windows) for series in pair[1]))


def _pages(
    setting: Setting,
    views: Sequence[View],
    promise: Promise,
    mat: Mat,
    showing: Showing,
    progress: Progress | None,
) -> list[Page]:
    from tiler.output.projected import Screen, prewarped
    from tiler.sheets.projectedstart import draw_start

    screen = Screen(mat.width_px, mat.height_px, mat.to_pixels(), showing.ground == "dark")
    pages = []
    for number, view in enumerate((draw_start(setting, promise), *views)):
        if progress:
            progress("drawing windows", number, len(views) + 1)
        pages.append(prewarped(view.name, view.items, setting.shown, screen))
    return pages


def _publication(pattern: Pattern, mat: Mat, pages: Sequence[Page]) -> Publication:
    import json

    from tiler.intake.sheetfile.carried import RECORD
    from tiler.sheets.drawing import Attachment, Publication
    from tiler.sheets.projected import foot_of
    from tiler.sheets.record import source_files

    record = {
        "kind": "pictures for a projector",
        "title": pattern.title,
        "digest": pattern.digest,
        "mat": mat.name,
    }
    about = Attachment(RECORD, json.dumps(record).encode(), "Data", "application/json")
    subject = foot_of(mat.name, pattern)
    carried = (about, *source_files(pattern))
    return Publication(pattern.title, pattern.maker, subject, tuple(pages), attachments=carried)


def _proven(
    content: bytes, mat: Mat, setting: Setting, views: Sequence[View], folder: Path
) -> Outcome:
    from tiler.proof.projected import prove_projected

    windows = [(view.name, view.shown) for view in views]
    outcome = prove_projected(content, mat, setting.field, windows, setting.brush.line)
    if outcome.faults:
        raise not_proven(" ".join(f"{fault}." for fault in outcome.faults[:5]), folder)
    return outcome


def _thicker(showing: Showing, line: float, mat: Mat) -> tuple[Finding, ...]:
    from tiler.pattern.model import Finding, Severity
    from tiler.pattern.units import format_mm

    if line <= showing.line:
        return ()
    words = (
        f"Lines are {format_mm(line)} wide: thinner ones would not be seen everywhere on this mat."
    )
    return (Finding("thicker", Severity.NOTE, f"mat {mat.name}", words),)
