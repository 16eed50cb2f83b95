"""From the files of photos to a pattern folder, with a picture that shows how sure it is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.job.besidepictures import FACES, PROBLEM, put_beside, take_away
from tiler.job.progress import Progress
from tiler.job.starting import Answers
from tiler.pattern.errors import BlocksheetError, FileError

if TYPE_CHECKING:
    from collections.abc import Iterator

    from tiler.intake.photo.capture import Captured
    from tiler.intake.photo.model import Photo
    from tiler.intake.photo.problem import Spot
    from tiler.job.starting import Started
    from tiler.job.takingup import TakenUp
    from tiler.pattern.affine import Point
    from tiler.pattern.model import Finding
    from tiler.pattern.path import Path as Line

#: Completes the answers, once it is known which pieces there are.
Ask = Callable[["TakenUp", Answers], Answers]
#: Errors of these kinds are about areas between the lines, which have letters.
_AREAS = ("areas-undecided", "areas-apart", "area-in-two-pieces", "wrong-letters")
#: A photo with a side of fewer pixels shows no card sharply.
_LEAST = 300


@dataclass(frozen=True, slots=True)
class CaptureWishes:
    """What is said about photos of a tracing.

    Args:
        across: What the bar across beside the cards measures, millimetres; None when not said.
        up: The same for the bar up.
        division: The distance between the finest marks of the rule, millimetres.
        printer: Name of a kept printer that printed the cards; empty for none.
        styles: Name of a style -> letters of the areas that it covers.
        pieces: Name of a piece -> letters of its areas.
        answers: What no photo can say, but for cuts.
        cuts: How pieces are cut, in words such as ``Front=1 fold A`` or ``2 pair``.
    """

    across: float | None = None
    up: float | None = None
    division: float = 1.0
    printer: str = ""
    styles: tuple[tuple[str, str], ...] = ()
    pieces: tuple[tuple[str, str], ...] = ()
    answers: Answers = field(default_factory=Answers)
    cuts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class CapturedFolder:
    """A folder that was made from photos.

    Args:
        started: What was written.
        accuracy: How far lines may be off, a sentence without a full stop.
        causes: What that is made of, the same.
        pictures: The photos with what was found drawn on them.
        findings: What to look at.
    """

    started: Started
    accuracy: str
    causes: str
    pictures: tuple[Path, ...]
    findings: tuple[Finding, ...] = field(default=())


def capture_folder(
    files: Sequence[Path],
    folder: Path,
    wishes: CaptureWishes,
    progress: Progress | None = None,
    ask: Ask | None = None,
) -> CapturedFolder:
    """Begin a pattern folder from photos or scans of one tracing.

    Args:
        files: JPEG, PNG, TIFF or WebP; all of the same table.
        folder: Not there, or empty.
        wishes: What is said.
        progress: Told of each step.
        ask: Completes what is said of the pieces once they are found.

    Raises:
        BlocksheetError: It cannot be done. Where a photo shows why, a picture of it is written
            beside the folder, and the message names it; nothing else is written.
    """
    from tiler.intake.photo.needs import refuse_without_libraries
    from tiler.job.handing import stoppable
    from tiler.job.printedcards import printed_cards
    from tiler.output.newfolder import refuse_filled

    refuse_without_libraries()
    refuse_filled(folder)
    printed, told = printed_cards(wishes.across, wishes.up, wishes.division, wishes.printer)
    with stoppable(folder):
        photos = _photos(files)
        with _shown_on(photos, folder):
            from tiler.intake.photo.capture import capture
            from tiler.intake.photo.lines.asking import Asked

            asked = Asked(wishes.styles, wishes.pieces)
            captured = capture(photos, printed, asked, progress)
        return _written(photos, captured, folder, wishes, told, ask)


def _photos(files: Sequence[Path]) -> tuple[Photo, ...]:
    from tiler.intake.files import content_of, is_there, shown
    from tiler.intake.photo.picture import PHOTO_LIMIT, read_photo

    seen: dict[Path, Photo] = {}
    for file in files:
        if not is_there(file):
            raise FileError(
                "there is no such file",
                where=shown(file),
                remedy="Give photos or scans: JPEG, PNG, TIFF or WebP.",
            )
        if file.resolve() in seen:
            raise FileError(
                "this photo is given twice", where=shown(file), remedy="Give each photo once."
            )
        photo = read_photo(shown(file.name), content_of(file, PHOTO_LIMIT))
        if min(photo.width, photo.height) < _LEAST:
            raise FileError(
                f"it has {photo.width} x {photo.height} pixels only, as a preview has",
                where=photo.name,
                remedy="Give the photo itself, as the phone took it.",
            )
        seen[file.resolve()] = photo
    return tuple(seen.values())


def _written(
    photos: Sequence[Photo],
    captured: Captured,
    folder: Path,
    wishes: CaptureWishes,
    told: tuple[Finding, ...],
    ask: Ask | None,
) -> CapturedFolder:
    from tiler.job.cutanswers import cuts_said
    from tiler.job.starting import start
    from tiler.job.takingup import take_up_drawn
    from tiler.output.folder.tracing import tracing_svg

    names = _names(captured, folder, wishes)
    with _drawn_on(photos, captured, folder):
        taken = take_up_drawn(
            {
                name: tracing_svg(replace(sheet, name=name))
                for name, sheet in zip(names, captured.drawings, strict=True)
            }
        )
    answers = replace(wishes.answers, cuts=cuts_said(wishes.cuts, taken))
    if ask:
        answers = ask(taken, answers)
    pictures = _pictures(photos, captured, taken)
    with _drawn_on(photos, captured, folder):
        started = start(taken, folder, answers, pictures)
    take_away(folder)
    return CapturedFolder(
        started,
        captured.accuracy.words,
        captured.accuracy.causes,
        tuple(folder / name for name in pictures),
        (*told, *_findings(captured, photos)),
    )


def _names(captured: Captured, folder: Path, wishes: CaptureWishes) -> list[str]:
    """Of the pieces, in the order of their drawings; no two alike."""
    from tiler.job.starting import title_for

    if len(captured.tracings) == 1:
        return [captured.tracings[0].name or wishes.answers.title or title_for(folder)]
    return [
        tracing.name or f"Piece {number}" for number, tracing in enumerate(captured.tracings, 1)
    ]


def _findings(captured: Captured, photos: Sequence[Photo]) -> Iterator[Finding]:
    from tiler.pattern.model import Finding, Severity

    for doubt in captured.doubts:
        shown = dict.fromkeys(photos[spot.photo].name for spot in doubt.spots)
        where = ", ".join(shown) if len(photos) > 1 else ""
        yield Finding(doubt.code, Severity.WARNING, where, doubt.text)


def _pictures(
    photos: Sequence[Photo], captured: Captured, taken: TakenUp | None
) -> dict[str, bytes]:
    """File name -> the photo with all that was found on it."""
    import numpy as np

    from tiler.output.capture.overlay import Letter, captured_picture

    letters, corners = [], []
    for found, to_table in zip(taken.pieces if taken else (), captured.to_table, strict=False):
        for outline in found.piece.outlines:
            for edge in outline.edges:
                letters.append(Letter(edge.letter, np.array(to_table(_middle(edge.path)))))
                corners.append(to_table(edge.path.start))
    once = {(letter.text, *np.round(letter.at).tolist()): letter for letter in letters}
    words = captured.accuracy.words
    words = f"{words[:1].upper()}{words[1:]}."
    return {
        f"capture{f'-{number + 1}' if number else ''}.jpg": captured_picture(
            photo, number, captured, tuple(once.values()), np.array(corners).reshape(-1, 2), words
        )
        for number, photo in enumerate(photos)
    }


def _middle(path: Line) -> Point:
    return path.point_at(path.length / 2)[0]


@contextmanager
def _shown_on(photos: Sequence[Photo], folder: Path) -> Iterator[None]:
    """Draw the places of a problem on the photos, and say where the picture is."""
    from tiler.intake.photo.problem import CaptureError
    from tiler.output.capture.problempicture import faces_picture, problem_picture

    try:
        yield
    except CaptureError as error:
        asks = error.code in _AREAS
        draw = faces_picture if asks else problem_picture
        words = str(error.problem[:1].upper() + error.problem[1:].rstrip(".") + ".")
        by_photo: dict[int, list[Spot]] = {}
        for spot in error.spots:
            by_photo.setdefault(spot.photo, []).append(spot)
        pictures = [
            draw(photos[number], spots, f"{words} {error.remedy}".strip())
            for number, spots in sorted(by_photo.items())
        ]
        shown = "the areas have their letters there" if asks else "the place is marked there"
        files = put_beside(folder, FACES if asks else PROBLEM, pictures)
        raise _naming(error, files, shown) from error
    except (BlocksheetError, MemoryError):
        raise
    except Exception as fault:
        # Photos are of endless kinds: one that trips a step up must not end in a traceback.
        raise BlocksheetError(
            f"this photo trips the tool up ({type(fault).__name__}: {fault})",
            where=", ".join(photo.name for photo in photos),
            remedy="Nothing was written. Take another photo from above, and please report this: "
            "it is a fault of the tool.",
        ) from fault


@contextmanager
def _drawn_on(photos: Sequence[Photo], captured: Captured, folder: Path) -> Iterator[None]:
    """The same where lines were found, and make no piece."""
    try:
        yield
    except FileError:
        raise
    except BlocksheetError as error:
        pictures = list(_pictures(photos, captured, None).values())
        files = put_beside(folder, PROBLEM, pictures)
        raise _naming(error, files, "it shows what was found") from error


def _naming(error: BlocksheetError, files: Sequence[Path], shown: str) -> BlocksheetError:
    """The same error, with where to look and what there is to see."""
    if files:
        look = f"Look at {' and '.join(str(file) for file in files)}: {shown}."
        error.remedy = f"{error.remedy} {look}".strip()
    return error
