"""Operands as the operators want them."""

from __future__ import annotations

from tiler.pattern.errors import FileError
from tiler.proof.tokens import Name, Operand


def take(operands: list[Operand], count: int) -> list[float]:
    """The last numbers, exactly so many of them."""
    found = operands[-count:]
    numbers = [value for value in found if type(value) is float]
    if len(numbers) != count:
        raise senseless("a number is missing")
    return numbers


def take_pair(operands: list[Operand]) -> tuple[float, float]:
    """The last two numbers."""
    x, y = take(operands, 2)
    return x, y


def take_name(operands: list[Operand], index: int) -> str:
    """The name at an index counted from the end (-1 is the last)."""
    found = operands[index] if len(operands) >= -index else None
    if not isinstance(found, Name):
        raise senseless("a name is missing")
    return found


def take_list(operands: list[Operand], index: int) -> list[float]:
    """The numbers of the list at an index counted from the end."""
    found = operands[index] if len(operands) >= -index else None
    if not isinstance(found, list):
        raise senseless("a list is missing")
    return [value for value in found if type(value) is float]


def whole(value: Operand) -> int | None:
    """A whole number, or None when it is anything else."""
    return int(value) if type(value) is float and value.is_integer() else None


def two(value: Operand) -> tuple[float, float] | None:
    """A list of two numbers, or None when it is anything else."""
    if isinstance(value, list) and len(value) == 2:
        width, height = value
        if type(width) is float and type(height) is float:
            return width, height
    return None


def senseless(what: str) -> FileError:
    """The error of a stream that does not follow the grammar."""
    return FileError(
        f"the drawing commands make no sense ({what})",
        remedy="The file is damaged; publish it again.",
    )
