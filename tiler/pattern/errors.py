"""Every error that Blocksheet raises on purpose, each with the exit code it leads to."""

from __future__ import annotations

from enum import IntEnum


class ExitCode(IntEnum):
    """What the command hands back to the shell; 1 means: read, and not in order."""

    DONE = 0
    NOT_PROVEN = 1
    FAULTY = 1
    BAD_INPUT = 2


class BlocksheetError(Exception):
    """Base of the family: one sentence on what is wrong, where it is, and what to do.

    Args:
        problem: What is wrong, without a full stop.
        where: File, piece, edge or line, from the outside in; empty when there is no place.
        remedy: What the reader can do about it, a full sentence; empty when there is nothing.
    """

    exit_code = ExitCode.BAD_INPUT

    def __init__(self, problem: str, *, where: str = "", remedy: str = "") -> None:
        self.problem = problem
        self.where = where
        self.remedy = remedy
        super().__init__(problem, where, remedy)

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        advice = f" {self.remedy}" if self.remedy else ""
        return f"{place}{self.problem.rstrip('.')}.{advice}"

    def within(self, place: str) -> BlocksheetError:
        """The same error, told from one level further out (`place` goes in front)."""
        where = f"{place}, {self.where}" if self.where else place
        return type(self)(self.problem, where=where, remedy=self.remedy)


class Terminated(KeyboardInterrupt):
    """The system asks to end at once; unlike Ctrl-C, nobody waits for the best so far."""


class LengthError(BlocksheetError, ValueError):
    """A length that cannot be read."""


class FileError(BlocksheetError):
    """A file or folder that cannot be read or written."""


class DrawingError(BlocksheetError):
    """A drawing (SVG) that is not what a drawing of a piece can be."""


class PatternError(BlocksheetError):
    """A pattern file, piece or edge that does not hold together."""


class PaperError(BlocksheetError, ValueError):
    """A paper, margin or overlap that does not leave room to print."""


class ProjectionError(BlocksheetError, ValueError):
    """A projector's picture that cannot lie on a mat as it was measured."""


class ClothError(BlocksheetError, ValueError):
    """A cloth that there is not, or pieces that cannot be laid on it."""


class MeasureError(BlocksheetError, ValueError):
    """A measurement, or the name to keep it under, that cannot be right."""


class StoppedError(BlocksheetError):
    """Work that the user has stopped."""


class NotProvenError(BlocksheetError):
    """A publication whose lines are not where the pattern says."""

    exit_code = ExitCode.NOT_PROVEN
