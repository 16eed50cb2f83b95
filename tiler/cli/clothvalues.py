"""Option values of ``blocksheet cloth``: shares, repeats, angles."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeVar

import click

from tiler.pattern.errors import LengthError
from tiler.pattern.units import parse_length

T = TypeVar("T")
_PERCENT = re.compile(r"\s*(\d{1,2}(?:\.\d{1,3})?)\s*%\s*")
_ANGLE = re.compile(r"\s*(\d{1,2}(?:\.\d{1,3})?)\s*(?:deg|°)?\s*")
_BY = re.compile(r"\s*[x×,/]\s*")
_NONE = ("none", "0")


def _both(text: str, read: Callable[[str], T]) -> tuple[T, T]:
    """What stands for along and across; one value stands for both."""
    parts = _BY.split(text.strip())
    if len(parts) > 2:
        raise ValueError
    one = read(parts[0])
    return one, read(parts[1]) if len(parts) == 2 else one


def _share(text: str) -> float:
    match = _PERCENT.fullmatch(text)
    if match is None:
        raise ValueError
    return float(match[1]) / 100


class _Shrinkage(click.ParamType[tuple[float, float]]):
    """``5 %``, or along and across ``5 % x 2 %``; handed on as shares."""

    name = "percent"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, float]:
        try:
            return _both(str(value), _share)
        except ValueError:
            return self.fail(
                f'{value!r} is not a shrinkage. Write "5 %", or along and across "5 % x 2 %".',
                param,
                ctx,
            )


class _Repeat(click.ParamType[tuple[float, float]]):
    """``40mm``, or along and across ``40mm x 30mm``, or ``none``; handed on in millimetres."""

    name = "length"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> tuple[float, float]:
        text = str(value).strip().lower()
        if text in _NONE:
            return 0.0, 0.0
        try:
            return _both(text, _length_or_none)
        except (LengthError, ValueError):
            return self.fail(
                f'{value!r} is not a repeat. Write "40mm", along and across "40mm x 30mm", or '
                '"none"; for stripes across the cloth "40mm x none".',
                param,
                ctx,
            )


def _length_or_none(text: str) -> float:
    return 0.0 if text in _NONE else parse_length(text)


class _Tilt(click.ParamType[float]):
    """``2 deg``; handed on in degrees."""

    name = "angle"

    def convert(
        self, value: object, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        match = _ANGLE.fullmatch(str(value))
        if match is None:
            self.fail(f'{value!r} is not an angle. Write "2 deg".', param, ctx)
        return float(match[1])


SHRINKAGE, REPEAT, TILT = _Shrinkage(), _Repeat(), _Tilt()
