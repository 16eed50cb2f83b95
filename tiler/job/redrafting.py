"""A pattern read and drafted again after a change, with all that the change did not touch kept."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from threading import RLock
from typing import TYPE_CHECKING

from tiler.job.memo import Memo

if TYPE_CHECKING:
    from tiler.drafting.checks import Inspection
    from tiler.drafting.walking.measured import SeamWalk
    from tiler.drafting.walking.side import SewnSide
    from tiler.job.unplaced import Unplaced
    from tiler.pattern.model import Pattern, Piece, Source
    from tiler.pattern.wishes import Wishes

#: So many versions can be inspected with what is kept of them.
_VERSIONS = 4


@dataclass(frozen=True, slots=True)
class _Version:
    """A pattern that was read.

    Args:
        files: That it was read from.
        pattern: As it is handed out.
        drafted: With stand-ins for the places in the pattern file; None where there are none.
        unplaced: Puts the places back.
    """

    files: tuple[Source, ...]
    pattern: Pattern
    drafted: Pattern | None = None
    unplaced: Unplaced | None = None


class Redrafter:
    """Reads one pattern folder again and again. Several threads may share it.

    Drawings are known again by their bytes, and steps of drafting and checking by their inputs, so
    that what is made is what `read` and `inspect` make. What was of no use in the last few
    readings is forgotten.
    """

    def __init__(self) -> None:
        self._memo = Memo()
        self._versions: deque[_Version] = deque(maxlen=_VERSIONS)
        self._lock = RLock()

    def read(self, source: Path) -> Pattern:
        """The pattern as `tiler.job.read` reads it.

        What is as it was, up to the whole pattern, is the very object of the last time.

        Raises:
            BlocksheetError: It cannot be read or does not hold together.
        """
        from tiler.intake.folder import gather
        from tiler.job.reading import locate

        with self._lock:
            return self.draft(gather(locate(source), self._memo))

    def draft(self, sources: Sequence[Source]) -> Pattern:
        """The pattern that files make, read, drafted and checked, such as those of a change to be.

        Args:
            sources: As `tiler.intake.folder.gather` gathers them.

        Raises:
            BlocksheetError: They cannot be read or do not hold together.
        """
        files = tuple(sources)
        with self._lock:
            for version in self._versions:
                if version.files == files:
                    return version.pattern
            version = _drafted(files, self._memo)
            # Not where it was refused: what was made for the last good version is still of use.
            self._memo.next_round()
            self._versions.append(version)
            return version.pattern

    def inspect(self, pattern: Pattern) -> Inspection:
        """The bench check of a pattern, as `tiler.drafting.checks.inspect` does it.

        Args:
            pattern: As `read` returned it lately; any other is inspected anew.

        Raises:
            PatternError: A coordinate is not a number.
        """
        from tiler.drafting.checks import inspect

        with self._lock:
            version = next((each for each in self._versions if each.pattern is pattern), None)
            if version is None or version.drafted is None or version.unplaced is None:
                return inspect(pattern)
            found = inspect(version.drafted, self._memo)
            return _placed(found, pattern, version.unplaced)


def _drafted(sources: tuple[Source, ...], memo: Memo) -> _Version:
    from tiler.drafting.draft import drafted
    from tiler.drafting.soundness import sound
    from tiler.intake.folder import pattern_of, read_sources, words_of
    from tiler.intake.patternfile import PATTERN_FILE
    from tiler.job.unplaced import Unplaced
    from tiler.pattern.errors import BlocksheetError

    files = {file.name: file.content for file in sources}
    if PATTERN_FILE not in files:
        return _Version(sources, sound(drafted(read_sources(sources))))
    words = words_of(files, memo)
    unplaced = memo(PATTERN_FILE, Unplaced, words)
    try:
        made = sound(drafted(pattern_of(unplaced.words, files, memo), memo), memo)
    except BlocksheetError:
        # Once more with all places in it, for the message.
        return _Version(sources, sound(drafted(pattern_of(words, files))))
    pieces = tuple(
        memo(piece.name, _asking, piece, own.wishes)
        for piece, own in zip(made.pieces, words.pieces, strict=True)
    )
    told = unplaced.placed(replace(made, pieces=()))
    findings = tuple(dict.fromkeys(told.findings))
    return _Version(sources, replace(told, pieces=pieces, findings=findings), made, unplaced)


def _asking(piece: Piece, wishes: Wishes) -> Piece:
    return replace(piece, wishes=wishes)


def _placed(found: Inspection, pattern: Pattern, unplaced: Unplaced) -> Inspection:
    """An inspection that speaks of the pieces and the places of the pattern that was handed out."""
    pieces = {piece.name: piece for piece in pattern.pieces}
    walks = tuple(_placed_walk(walk, pieces, unplaced) for walk in found.walks)
    faults = tuple(
        replace(
            unplaced.placed(replace(fault, walk=None, spots=())),
            walk=_placed_walk(fault.walk, pieces, unplaced) if fault.walk else None,
            spots=fault.spots,
        )
        for fault in found.faults
    )
    return replace(found, faults=faults, walks=walks)


def _placed_walk(walk: SeamWalk, pieces: dict[str, Piece], unplaced: Unplaced) -> SeamWalk:
    one, other = (_placed_side(side, pieces) for side in walk.sides)
    return replace(walk, seam=unplaced.placed(walk.seam), sides=(one, other))


def _placed_side(side: SewnSide, pieces: dict[str, Piece]) -> SewnSide:
    edges = tuple(replace(edge, piece=pieces[edge.piece.name]) for edge in side.edges)
    return replace(side, edges=edges)
