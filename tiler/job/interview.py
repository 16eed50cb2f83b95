"""What drawings do not say, as questions with pictures; and a folder from what is said.

The command asks the same at a terminal, line by line.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.pattern.errors import FileError, PatternError

if TYPE_CHECKING:
    from tiler.job.starting import Started
    from tiler.job.takingup import Found, TakenUp

#: More pieces than this are no garment, and no form that anybody fills in.
MOST_PIECES = 80
#: Letters of edges that are offered as the fold, the likeliest first.
_FOLDS = 12
TRACED = ("stitch", "cut")
_PICTURES = "capture*.jpg"


@dataclass(frozen=True, slots=True)
class EdgeChoice:
    """An edge that could lie on the fold.

    Args:
        letter: A, B, C …
        length: Millimetres.
        side: Where it lies on the piece: one of `tiler.output.folder.edgehints.SIDES`, or round.
    """

    letter: str
    length: float
    side: str


@dataclass(frozen=True, slots=True)
class PieceAsked:
    """A piece that was found.

    Args:
        name: What the new pattern calls it.
        width: Of what is drawn, millimetres.
        height: The same.
        traced: cut or stitch, where the drawing says what its outline is; else empty.
        cut: Whether it is known how many to cut, and how.
        drawn_fold: Letters of the edges that the drawing has on the fold.
        folds: The edges that could lie there when the drawing does not say.
        picture: The piece with the letters of its edges, SVG.
    """

    name: str
    width: float
    height: float
    traced: str
    cut: bool
    drawn_fold: tuple[str, ...]
    folds: tuple[EdgeChoice, ...]
    picture: bytes


@dataclass(frozen=True, slots=True)
class Interview:
    """What is known, and what is to be asked.

    Args:
        title: As the files say it, or as their names have it.
        maker: As the files say it.
        untraced: Names of the pieces whose drawings do not say which line was traced.
        allowance: Whether the seam allowance of some piece is not known.
        cloth: Whether nothing is known of the main cloth.
        pieces: All that were found.
    """

    title: str
    maker: str
    untraced: tuple[str, ...]
    allowance: bool
    cloth: bool
    pieces: tuple[PieceAsked, ...]


@dataclass(frozen=True, slots=True)
class Said:
    """The answers in words; what is left for later is empty.

    Args:
        title: Of the pattern.
        maker: Who made it.
        traced: stitch or cut.
        allowance: Seam allowance, millimetres; None for later.
        cloth: The main cloth.
        cuts: Name of a piece -> such as ``1 fold A`` or ``2 pair``.
    """

    title: str
    maker: str = ""
    traced: str = ""
    allowance: float | None = None
    cloth: str = ""
    cuts: tuple[tuple[str, str], ...] = ()


def interview(sources: Sequence[Path], captured: Path | None = None) -> Interview:
    """Read what a pattern begins with, and say what to ask.

    Args:
        sources: Drawings, tables of points, DXF files.
        captured: Instead: the folder that `tiler.job.capturing.capture_folder` has made.

    Raises:
        BlocksheetError: One cannot be read, holds no piece, or all together hold too many.
    """
    from tiler.job.takingup import readable

    taken = _taken(sources, captured)
    named = taken.known.title or (_title_of(captured) if captured else "")
    if not named and len(sources) == 1:
        named = readable(sources[0].stem)
    return Interview(
        named,
        taken.known.maker,
        taken.unsaid,
        taken.needs_allowance,
        taken.needs_cloth,
        tuple(map(_asked, taken.pieces)),
    )


def begun(
    sources: Sequence[Path], folder: Path, said: Said, captured: Path | None = None
) -> Started:
    """Write the pattern folder from what a pattern begins with and what was said.

    Args:
        sources: As for `interview`.
        folder: Not there yet.
        said: The answers.
        captured: As for `interview`; the pictures in it go into the folder.

    Raises:
        BlocksheetError: An answer does not hold, or the folder cannot be written; nothing is left.
    """
    from tiler.job.cutanswers import cuts_said
    from tiler.job.starting import Answers, start, words_said
    from tiler.pattern.model import Role

    if said.allowance is not None and said.allowance < 0:
        raise PatternError(
            "it is less than nothing", where="--allowance", remedy="Say a length of 0 mm or more."
        )
    if said.traced and said.traced not in TRACED:
        raise PatternError(
            f'"{said.traced}" is neither', where="--traced", remedy="Say stitch or cut."
        )
    taken = _taken(sources, captured)
    answers = Answers(
        words_said(said.title, "--title"),
        words_said(said.maker, "--maker"),
        said.allowance,
        Role(said.traced) if said.traced else None,
        words_said(said.cloth, "--cloth"),
        cuts_said([f"{name}={words}" for name, words in said.cuts], taken),
    )
    return start(taken, folder, answers, _pictures(captured))


def _taken(sources: Sequence[Path], captured: Path | None) -> TakenUp:
    from tiler.job.takingup import take_up, take_up_drawn

    if captured is None:
        taken = take_up(sources)
    else:
        from tiler.intake.folder import read_pattern

        pattern = read_pattern(captured)
        files = {source.name: source.content.decode() for source in pattern.sources}
        taken = take_up_drawn({piece.name: files[piece.drawing] for piece in pattern.pieces})
    if len(taken.pieces) > MOST_PIECES:
        raise FileError(
            f"{len(taken.pieces)} pieces are too many for one pattern",
            remedy=f"Give {MOST_PIECES} or fewer at a time.",
        )
    return taken


def _title_of(captured: Path) -> str:
    from tiler.intake.folder import read_pattern

    return read_pattern(captured).title


def _pictures(captured: Path | None) -> Mapping[str, bytes]:
    found = sorted(captured.glob(_PICTURES)) if captured else ()
    return {picture.name: picture.read_bytes() for picture in found}


def _asked(found: Found) -> PieceAsked:
    from tiler.output.folder.edgehints import hints_of, possible_folds
    from tiler.output.svg import svg_bytes
    from tiler.pattern.model import Lies
    from tiler.sheets.lettered import draw_lettered

    hints = hints_of(found.piece)
    known = {hint.letter: hint for hint in reversed(hints)}
    drawn = dict.fromkeys(hint.letter for hint in hints if hint.lies is Lies.FOLD)
    bounds = found.piece.bounds
    return PieceAsked(
        found.name,
        bounds.width,
        bounds.height,
        found.piece.outlines[0].role.value if found.said else "",
        bool(found.piece.cuts),
        tuple(drawn),
        tuple(
            EdgeChoice(letter, known[letter].length, known[letter].side)
            for letter in possible_folds(hints)[:_FOLDS]
        ),
        svg_bytes(draw_lettered(found.piece), found.name),
    )
