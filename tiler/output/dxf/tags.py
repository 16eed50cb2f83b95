"""DXF as text: tags, and the sections that every file has.

Written here and not by a library, so that equal patterns give equal bytes: no clock, no version
and no handles come in. ezdxf, which reads the files, judges them in the tests.

Source: DXF Reference, releases 12 and 13 (group codes, TABLES, BLOCKS and ENTITIES sections).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

#: A text of DXF release 12 has at most 255 characters; some are left for other programs.
TEXT_LIMIT = 240

Tag = tuple[int, str | int | float]


def file_of(
    layers: Sequence[int], application: str, blocks: list[Tag], entities: list[Tag]
) -> bytes:
    """A whole file.

    Args:
        layers: Numbers of the layers that are used.
        application: The name that extended data stand under.
        blocks: What stands in the BLOCKS section.
        entities: What stands in the ENTITIES section.
    """
    tags: list[Tag] = [
        *_section(
            "HEADER", [(9, "$ACADVER"), (1, "AC1009"), (9, "$DWGCODEPAGE"), (3, "ANSI_1252")]
        ),
        *_section("TABLES", _tables(layers, application)),
        *_section("BLOCKS", blocks),
        *_section("ENTITIES", entities),
        (0, "EOF"),
    ]
    return "".join(f"{code:>3}\r\n{_value(value)}\r\n" for code, value in tags).encode("ascii")


def encoded(text: str) -> str:
    r"""Text as every reader of DXF takes it: ASCII, the rest as ``\U+XXXX`` (release 13).

    The percent sign beside another, the caret and the backslash before ``U+`` would be read as
    codes, so that they are written as numbers too. Control characters become spaces.
    """
    text = re.sub(r"[^\S ]|[\x00-\x1f\x7f]", " ", text)
    text = re.sub(r"\\(?=[UuMm]\+)|\^|%(?=%)|(?<=%)%", lambda sign: _code(sign[0]), text)
    return "".join(c if c.isascii() else _code(c) for c in text)


def _code(sign: str) -> str:
    # Beyond the first 65 536 a character is written as its two UTF-16 halves.
    raw = sign.encode("utf-16-be", "replace")
    return "".join(f"\\U+{raw[i]:02X}{raw[i + 1]:02X}" for i in range(0, len(raw), 2))


def parts_of(text: str, limit: int) -> list[str]:
    """A text cut at its spaces into parts that each take no more than a limit when encoded."""
    parts: list[str] = []
    line = ""
    for word in text.split():
        joined = f"{line} {word}" if line else word
        if len(encoded(joined)) <= limit:
            line = joined
            continue
        if line:
            parts.append(line)
        while len(encoded(word)) > limit:
            parts.append(word[: limit // 7])
            word = word[limit // 7 :]
        line = word
    return [*parts, line] if line or not parts else parts


def _value(value: str | int | float) -> str:
    if not isinstance(value, float):
        return str(value)
    words = f"{value:.6f}".rstrip("0")
    words = f"{words}0" if words.endswith(".") else words
    return "0.0" if words == "-0.0" else words


def _section(name: str, tags: Iterable[Tag]) -> list[Tag]:
    return [(0, "SECTION"), (2, name), *tags, (0, "ENDSEC")]


def _tables(layers: Sequence[int], application: str) -> list[Tag]:
    line: list[Tag] = [(0, "LTYPE"), (2, "CONTINUOUS"), (70, 0), (3, "Solid line")]
    line += [(72, 65), (73, 0), (40, 0.0)]
    letters: list[Tag] = [(0, "STYLE"), (2, "STANDARD"), (70, 0), (40, 0.0), (41, 1.0), (50, 0.0)]
    letters += [(71, 0), (42, 2.5), (3, "txt"), (4, "")]
    named: list[Tag] = []
    for layer in (0, *layers):
        named += [(0, "LAYER"), (2, str(layer)), (70, 0), (62, 7), (6, "CONTINUOUS")]
    users: list[Tag] = []
    for user in ("ACAD", application):
        users += [(0, "APPID"), (2, user), (70, 0)]
    return [
        *_table("LTYPE", 1, line),
        *_table("LAYER", len(layers) + 1, named),
        *_table("STYLE", 1, letters),
        *_table("APPID", 2, users),
    ]


def _table(name: str, count: int, entries: list[Tag]) -> list[Tag]:
    return [(0, "TABLE"), (2, name), (70, count), *entries, (0, "ENDTAB")]
