"""A new pattern folder from drawings: what is said, and the files."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.job.takingup import readable
from tiler.pattern.errors import PatternError

if TYPE_CHECKING:
    from tiler.job.cutanswers import CutAnswer
    from tiler.job.takingup import Found, TakenUp
    from tiler.output.folder.commented import NewPattern
    from tiler.output.folder.commentedpiece import NewPiece
    from tiler.pattern.model import Finding, Outline, Pattern, Piece, Role


@dataclass(frozen=True, slots=True)
class Answers:
    """What the maker says; empty and None for what is left open.

    Args:
        title: Of the pattern; empty to take it from the folder's name.
        maker: Who made it.
        allowance: Seam allowance, millimetres.
        traced: CUT or STITCH, for the drawings that do not say.
        cloth: The main cloth, in words.
        cuts: Name of a piece -> how it is cut.
    """

    title: str = ""
    maker: str = ""
    allowance: float | None = None
    traced: Role | None = None
    cloth: str = ""
    cuts: Mapping[str, CutAnswer] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Started:
    """A folder that was written.

    Args:
        files: In it, the pattern file first.
        findings: What was noticed in the drawings.
        untraced: Names of the pieces of which nobody has said which line was traced.
        no_allowance: Whether the seam allowance of some piece is open.
        no_cloth: Whether the main cloth is open.
        uncut: Names of the pieces of which it is open how many to cut.
    """

    files: tuple[Path, ...]
    findings: tuple[Finding, ...]
    untraced: tuple[str, ...]
    no_allowance: bool
    no_cloth: bool
    uncut: tuple[str, ...]


def title_for(folder: Path) -> str:
    """A title from the name of the folder: ``potting-smock`` gives ``Potting smock``."""
    return readable(folder.absolute().name)


def words_said(words: str, what: str) -> str:
    """A name or text as the pattern file takes it, its spaces drawn together.

    Args:
        words: As said.
        what: --title, --maker or --cloth.

    Raises:
        PatternError: It is too long, or holds letters that are no text.
    """
    from tiler.intake.tomltable import NAME_LIMIT, TEXT_LIMIT

    limit = TEXT_LIMIT if what == "--cloth" else NAME_LIMIT
    found = " ".join(words.split())
    if any(unicodedata.category(letter) in ("Cc", "Cs") for letter in found):
        raise PatternError("it has a control character in it", where=what, remedy="Take it out.")
    if len(found) > limit:
        raise PatternError(
            f"it has {len(found)} characters", where=what, remedy=f"Keep it to {limit} characters."
        )
    return found


def start(
    taken: TakenUp, folder: Path, answers: Answers, beside: Mapping[str, bytes] | None = None
) -> Started:
    """Write the folder: the pattern file, and each drawing as it was given.

    What is written is read again first: its pieces are those of the drawings alone, with what was
    answered, and they can be drafted.

    Args:
        taken: What the drawings hold.
        folder: Not there, or empty.
        answers: What the maker says.
        beside: Further files for the folder, which are no part of the pattern.

    Raises:
        BlocksheetError: The folder is taken or cannot be written, or an answer does not go with a
            drawing. Nothing is left then.
    """
    from tiler.drafting.draft import drafted
    from tiler.drafting.soundness import sound
    from tiler.intake.folder import read_sources
    from tiler.intake.patternfile import PATTERN_FILE
    from tiler.job.handing import stoppable
    from tiler.output.folder.commented import commented_words
    from tiler.output.newfolder import refuse_filled, write_new_folder
    from tiler.pattern.model import Source

    refuse_filled(folder)
    new = _new_pattern(taken, folder, answers)
    files = {PATTERN_FILE: _encoded(commented_words(new))}
    files.update((found.drawing, found.content) for found in taken.pieces)
    again = read_sources([Source(name, content) for name, content in files.items()])
    _refuse_changed(new, again)
    sound(drafted(again))
    files.update(beside or {})
    with stoppable(folder):
        write_new_folder(folder, files)
    return Started(
        tuple(folder / name for name in files),
        tuple(dict.fromkeys((*again.findings, *_said_otherwise(taken, answers)))),
        () if answers.traced else taken.unsaid,
        taken.needs_allowance and answers.allowance is None,
        taken.needs_cloth and not answers.cloth,
        tuple(found.name for found in taken.uncut if found.name not in answers.cuts),
    )


def _said_otherwise(taken: TakenUp, answers: Answers) -> Iterator[Finding]:
    from tiler.pattern.model import Finding, Severity

    for found in taken.pieces:
        role = found.piece.outlines[0].role
        if found.said and answers.traced not in (None, role):
            yield Finding(
                "drawing-says-otherwise",
                Severity.WARNING,
                f"{found.drawing}, piece {found.name}",
                f"The drawing itself says that its outline is the {role} line, and that holds.",
            )


def _new_pattern(taken: TakenUp, folder: Path, answers: Answers) -> NewPattern:
    from tiler.output.folder.commented import NewPattern

    pieces = tuple(_answered(found, answers) for found in taken.pieces)
    known = taken.known
    cloths = dict(known.cloths)
    if answers.cloth:
        cloths["main"] = answers.cloth
    # A cut may name no cloth but those of the table, once it has one.
    used = dict.fromkeys(cut.cloth for piece in pieces for cut in piece.piece.cuts if cut.cloth)
    if cloths or used.keys() - {"main"}:
        cloths = {**dict.fromkeys(used, ""), **cloths}
    styles = dict.fromkeys((s for piece in pieces for s in piece.piece.styles), "")
    pattern = replace(
        known,
        title=answers.title or known.title or title_for(folder),
        maker=answers.maker or known.maker,
        cloths=tuple(cloths.items()),
        styles=tuple({**dict(known.styles), **styles, **dict(known.styles)}.items()),
    )
    return NewPattern(pattern, pieces, answers.allowance, answers.traced)


def _answered(found: Found, answers: Answers) -> NewPiece:
    """The piece as it reads with what was answered."""
    from tiler.intake.piece import piece_from
    from tiler.intake.words.model import EdgeWord, PieceWords
    from tiler.output.folder.commentedpiece import NewPiece
    from tiler.pattern.model import Lies

    answer = answers.cuts.get(found.name)
    cuts = (answer.cut,) if answer else found.piece.cuts
    if found.sheet is None:
        allowance = found.piece.allowance
        piece = replace(
            found.piece,
            cuts=cuts,
            allowance=answers.allowance if allowance is None else allowance,
            outlines=_folded(found.piece, answer.fold if answer else ""),
        )
        return NewPiece(piece, found.drawing, copied=False)
    fold = answer.fold if answer else ""
    words = PieceWords(
        found.name,
        found.drawing,
        found.layer,
        cuts,
        answers.allowance,
        edges=(EdgeWord(fold, Lies.FOLD, "", found.name),) if fold else (),
        traced=None if found.said else answers.traced,
    )
    piece, _ = piece_from(found.sheet, words)
    return NewPiece(piece, found.drawing, True, found.layer, not found.said, fold)


def _folded(piece: Piece, letter: str) -> tuple[Outline, ...]:
    from tiler.pattern.model import Lies

    return tuple(
        replace(
            outline,
            edges=tuple(
                replace(edge, lies=Lies.FOLD) if edge.letter == letter else edge
                for edge in outline.edges
            ),
        )
        for outline in piece.outlines
    )


def _refuse_changed(new: NewPattern, again: Pattern) -> None:
    """See that what is written reads as what was found."""
    from tiler.output.folder.sameness import difference

    for one, other in zip(new.pieces, again.pieces, strict=True):
        if one.copied:
            changed = "" if one.piece == other else "what is drawn"
        else:
            changed = difference(
                replace(again, pieces=(one.piece,)), replace(again, pieces=(other,))
            )
        if changed:
            raise PatternError(
                f"the pattern file would change the piece: {changed}",
                where=one.piece.name,
                remedy="Nothing was written. Please report this: it is a fault of the tool.",
            )


def _encoded(words: str) -> bytes:
    try:
        return words.encode()
    except UnicodeEncodeError:
        raise PatternError(
            "a name or text holds letters that are no text", remedy="Write it again."
        ) from None
