"""Pattern files of a few lines."""

import pytest

from tiler.intake.patternfile import parse_pattern_file
from tiler.intake.words.model import PatternWords, PieceWords
from tiler.pattern.errors import PatternError

HEAD = 'title = "Smock"\n'
PIECE = '[[piece]]\nname = "Front"\ndrawing = "front.svg"\n'
BACK = '[[piece]]\nname = "No. 2 back"\ndrawing = "back.svg"\n'


def read(text: str) -> PatternWords:
    return parse_pattern_file(text.encode())


def piece(lines: str, head: str = "") -> PieceWords:
    """The piece Front with more lines; the first of them is line 5 of the file."""
    return read(f"{HEAD}{head}{PIECE}{lines}\n").pieces[0]


def refused(text: str) -> str:
    with pytest.raises(PatternError) as told:
        read(text)
    return str(told.value)
