"""An error says where, what, and what to do."""

import pytest

from tiler.pattern.errors import (
    BlocksheetError,
    DrawingError,
    ExitCode,
    FileError,
    LengthError,
    NotProvenError,
    PaperError,
    PatternError,
)


def test_an_error_reads_place_problem_remedy() -> None:
    error = PatternError("edge A is bent", where="a.svg, edge A", remedy="Draw it straight.")
    assert str(error) == "a.svg, edge A: edge A is bent. Draw it straight."
    assert str(PatternError("edge A is bent")) == "edge A is bent."


def test_a_place_further_out_goes_in_front() -> None:
    error = DrawingError("it is open", where="line 4").within("front.svg")
    assert isinstance(error, DrawingError)
    assert error.where == "front.svg, line 4"


@pytest.mark.parametrize(
    "kind", [LengthError, FileError, DrawingError, PatternError, PaperError, NotProvenError]
)
def test_every_error_is_of_the_family_and_has_an_exit_code(kind: type[BlocksheetError]) -> None:
    assert issubclass(kind, BlocksheetError)
    wanted = ExitCode.NOT_PROVEN if kind is NotProvenError else ExitCode.BAD_INPUT
    assert kind("x").exit_code is wanted
