"""Content streams and objects cut into words (ISO 32000-1, 7.2 and 7.8)."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Union

from tiler.pattern.errors import FileError


class Name(str):
    """A PDF name, without its slash."""

    __slots__ = ()


Operand = Union[  # noqa: UP007  (names itself, which | cannot do with words)
    float, Name, bytes, bool, None, list["Operand"], dict[str, "Operand"]
]

_TOKEN = re.compile(
    rb"[\s\x00]*(?:"
    rb"(?P<number>[+-]?(?:\d+\.?\d*|\.\d+)(?=[\s\x00()<>\[\]{}/%]|\Z))"
    rb"|(?P<operator>[A-Za-z'\"][A-Za-z0-9*'\"]*)"
    rb"|/(?P<name>[^\s\x00()<>\[\]{}/%]*)"
    rb"|(?P<skip>%[^\r\n]*|\Z)"
    rb"|(?P<bracket><<|>>|\[|\])"
    rb"|<(?P<hex>[0-9A-Fa-f\s\x00]*)>"
    rb"|(?P<string>\())"
)
_NUMBER, _OPERATOR, _NAME, _, _BRACKET, _HEX, _STRING = range(1, 8)
_IN_STRING = re.compile(rb"[()\\]")
_ESCAPED_NAME = re.compile(r"#([0-9A-Fa-f]{2})")
_INLINE_IMAGE_END = re.compile(rb"[\s\x00]EI(?=[\s\x00]|\Z)")
_CONSTANTS: dict[bytes, bool | None] = {b"true": True, b"false": False, b"null": None}
_DEEPEST = 32


def operations(content: bytes) -> Iterator[tuple[bytes, list[Operand]]]:
    """Every operator with the operands before it.

    An inline picture comes as the single operator ``BI``.

    Raises:
        FileError: The bytes are not a content stream.
    """
    operands: list[Operand] = []
    open_ones: list[tuple[bytes, list[Operand]]] = []
    position, end = 0, len(content)
    while position < end:
        for match in _TOKEN.finditer(content, position):
            if match.start() != position:
                raise _not_content(position)
            position = match.end()
            kind = match.lastindex
            if kind == _NUMBER:
                operands.append(float(match[1]))
            elif kind == _OPERATOR:
                word = match[2]
                if word in _CONSTANTS:
                    operands.append(_CONSTANTS[word])
                    continue
                if open_ones:
                    raise _not_content(position)
                if word == b"BI":
                    position = _after_picture(content, position)
                    operands = []
                    yield word, []
                    break
                yield word, operands
                operands = []
            elif kind == _NAME:
                operands.append(_name(match["name"]))
            elif kind == _HEX:
                digits = re.sub(rb"[\s\x00]", b"", match["hex"])
                operands.append(bytes.fromhex((digits + b"0" * (len(digits) % 2)).decode()))
            elif kind == _STRING:
                text, position = _string(content, position)
                operands.append(text)
                break
            elif kind == _BRACKET:
                operands = _bracket(match["bracket"], operands, open_ones, position)
        else:
            if position < end:
                raise _not_content(position)


def object_end(content: bytes, position: int) -> tuple[bytes, int]:
    """Follow the parts of one object as they are written in a file (ISO 32000-1, 7.3).

    Args:
        content: The file.
        position: Where the object begins, behind the word ``obj``.

    Returns:
        The word that ends it, ``endobj`` or ``stream``, and where that word ends.

    Raises:
        FileError: It is not written as an object is.
    """
    open_ones: list[bytes] = []
    end = len(content)
    while position < end:
        match = _TOKEN.match(content, position)
        if match is None:
            break
        position = match.end()
        if match.lastindex == _OPERATOR:
            word = match[2]
            if not open_ones and word in (b"endobj", b"stream"):
                return word, position
            if word != b"R" and word not in _CONSTANTS:
                break
        elif match.lastindex == _STRING:
            position = _string(content, position)[1]
        elif match.lastindex == _BRACKET:
            bracket = match["bracket"]
            if bracket in (b"[", b"<<"):
                open_ones.append(bracket)
            elif not open_ones or (open_ones.pop() == b"[") != (bracket == b"]"):
                break
    raise _not_content(position)


def _bracket(
    bracket: bytes,
    operands: list[Operand],
    open_ones: list[tuple[bytes, list[Operand]]],
    position: int,
) -> list[Operand]:
    if bracket in (b"[", b"<<"):
        if len(open_ones) >= _DEEPEST:
            raise _not_content(position)
        open_ones.append((bracket, operands))
        return []
    if not open_ones:
        raise _not_content(position)
    opened, outer = open_ones.pop()
    if (opened == b"[") != (bracket == b"]"):
        raise _not_content(position)
    if opened == b"[":
        outer.append(operands)
        return outer
    keys, values = operands[::2], operands[1::2]
    if len(keys) != len(values) or not all(isinstance(key, Name) for key in keys):
        raise _not_content(position)
    outer.append({str(key): value for key, value in zip(keys, values, strict=True)})
    return outer


def _string(content: bytes, position: int) -> tuple[bytes, int]:
    """The raw bytes up to the matching parenthesis; what letters they mean is of no use here."""
    depth, start = 1, position
    while depth:
        match = _IN_STRING.search(content, position)
        if match is None:
            raise _not_content(start)
        position = match.end()
        if match[0] == b"\\":
            position += 1
        else:
            depth += 1 if match[0] == b"(" else -1
    return content[start : position - 1], position


def _after_picture(content: bytes, position: int) -> int:
    match = _INLINE_IMAGE_END.search(content, position)
    if match is None:
        raise _not_content(position)
    return match.end()


def _name(raw: bytes) -> Name:
    text = raw.decode("latin-1")
    if "#" in text:
        text = _ESCAPED_NAME.sub(lambda found: chr(int(found[1], 16)), text)
    return Name(text)


def _not_content(position: int) -> FileError:
    return FileError(
        f"the drawing commands make no sense at byte {position}",
        remedy="The file is damaged; publish it again.",
    )
