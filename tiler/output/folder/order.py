"""The order in which a reader hands over what is drawn on a piece."""

from __future__ import annotations

from dataclasses import replace

from tiler.pattern.model import Line, Mark, Piece, Role

_MARKS = (Role.NOTCH, Role.DRILL, Role.BUTTON, Role.BUTTONHOLE)


def in_reading_order(piece: Piece) -> Piece:
    """The piece with fold lines after other lines, and its marks by their roles."""
    return replace(
        piece,
        lines=tuple(sorted(piece.lines, key=_is_fold)),
        marks=tuple(sorted(piece.marks, key=_rank)),
    )


def _is_fold(line: Line) -> bool:
    return line.role is Role.FOLD


def _rank(mark: Mark) -> int:
    return _MARKS.index(mark.role) if mark.role in _MARKS else len(_MARKS)
