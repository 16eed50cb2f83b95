"""Option values that are read the same way everywhere."""

from __future__ import annotations

import click

from tiler.pattern.errors import LengthError
from tiler.pattern.units import parse_length


class _Length(click.ParamType[float]):
    """A length with its unit, handed on in millimetres."""

    name = "length"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        if isinstance(value, float):
            return value
        try:
            return parse_length(value)
        except LengthError as error:
            self.fail(str(error), param, ctx)


class _Paper(click.ParamType[str]):
    """The name of a paper."""

    name = "paper"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> str:
        return str(value).strip().lower()


LENGTH = _Length()
PAPER = _Paper()
