"""What the pattern file tells whoever gets the pattern."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator

from tiler.intake.tomltable import NAME_LIMIT, TomlTable, kind_of, near_miss
from tiler.intake.tomlvalues import above_zero, choice_in, flag_in, share_of
from tiler.intake.tomlwords import toml_key
from tiler.pattern.handover import ClothFacts, Finished, Handover, Wearer

KEYS = (
    "address",
    "licence",
    "language",
    "wearer",
    "cords",
    "small_parts",
    "notions",
    "sewing",
    "finished",
    "cutting",
)
_CUTTING = ("avoid", "width", "nap", "shrinkage", "repeat")
#: No cloth for garments shrinks by more, percent (common practice, no source).
MOST_SHRINKAGE = 40
#: An address that goes into a QR code that a phone reads from paper.
MOST_ADDRESS = 200
_ADDRESS = re.compile(r"https?://[^\s/?#@]+(?:[/?#]\S*)?")
_LANGUAGE = re.compile(r"[A-Za-z]{2,3}(?:-[A-Za-z0-9]{2,8})*")


def handover_in(top: TomlTable, cloths: Collection[str], styles: Collection[str]) -> Handover:
    """What is said for those who get the pattern.

    Args:
        top: The whole file.
        cloths: Names of the described cloths.
        styles: Names of the described styles.

    Raises:
        PatternError: A value that cannot be; with line and key.
    """
    return Handover(
        address=_address(top),
        licence=top.texts("licence"),
        language=_language(top),
        wearer=choice_in(top, "wearer", Wearer),
        cords=bool(flag_in(top, "cords")),
        small_parts=bool(flag_in(top, "small_parts")),
        notions=top.texts("notions"),
        sewing=top.texts("sewing"),
        finished=tuple(_finished(top, styles)),
        cloths=tuple(_cloths(top, cloths)),
    )


def _address(top: TomlTable) -> str:
    address = top.text("address", limit=MOST_ADDRESS)
    if address and not (_ADDRESS.fullmatch(address) and address.isascii()):
        raise top.error(
            f'the address "{address}" is not one that a browser opens',
            "address",
            'Write it as "https://example.org/smock", without spaces or letters beyond ASCII.',
        )
    return address


def _language(top: TomlTable) -> str:
    language = top.text("language", limit=NAME_LIMIT)
    if language and not _LANGUAGE.fullmatch(language):
        raise top.error(
            f'"{language}" is not the tag of a language', "language", 'Write "en", "de" or "pt-BR".'
        )
    return language


def _finished(top: TomlTable, styles: Collection[str]) -> Iterator[Finished]:
    """A length for all styles, or a table of one for each."""
    table = top.inner("finished")
    for name, value in table.data.items():
        if not name.strip() or len(name) > NAME_LIMIT or not name.isprintable():
            raise table.error(
                "a finished measurement has no usable name", remedy='Write "bust girth" = "960 mm".'
            )
        if not isinstance(value, dict):
            yield Finished(name, above_zero(table, name, "960 mm"))
            continue
        inner = _below("finished", table, name, value)
        for style in value:
            if style not in styles:
                raise inner.error(f'there is no style "{style}"', style, near_miss(style, styles))
            yield Finished(name, above_zero(inner, style, "960 mm"), style)


def _cloths(top: TomlTable, cloths: Collection[str]) -> Iterator[ClothFacts]:
    table = top.inner("cutting")
    for cloth, value in table.data.items():
        if cloth not in cloths:
            raise table.error(
                f'there is no cloth "{cloth}" in the table [cloth]', cloth, near_miss(cloth, cloths)
            )
        if not isinstance(value, dict):
            raise table.error(
                f"{cloth} is {kind_of(value)}, not a table",
                cloth,
                'Write [cutting.main] and under it width = "150 cm", or what else is known.',
            )
        facts = _below("cutting", table, cloth, value)
        facts.only(_CUTTING)
        yield ClothFacts(
            cloth,
            avoid=facts.text("avoid"),
            width=above_zero(facts, "width", "150 cm") if "width" in facts.data else None,
            nap=flag_in(facts, "nap"),
            shrinkage=_shrinkage(facts),
            repeat=_repeat(facts),
        )


def _below(name: str, table: TomlTable, key: str, value: dict[str, object]) -> TomlTable:
    """The table of a key, whether it stands in braces or under a header of its own."""
    header = f"{name}.{toml_key(key)}"
    if header in table.places.named:
        return TomlTable(value, table.places, table=header)
    return table.under(key, value)


def _both(table: TomlTable, key: str, remedy: str) -> tuple[object, object] | None:
    """What a key says along and across the cloth; one value stands for both."""
    if key not in table.data:
        return None
    value = table.data[key]
    both = value if isinstance(value, list) else [value, value]
    if len(both) != 2:
        raise table.error(f"{key} has {len(both)} values", key, remedy)
    return both[0], both[1]


def _shrinkage(table: TomlTable) -> tuple[float, float] | None:
    key, remedy = "shrinkage", 'Write shrinkage = "5 %", or along and across ["5 %", "2 %"].'
    both = _both(table, key, remedy)
    if both is None:
        return None
    shares = [share_of(each) if isinstance(each, str) else None for each in both]
    found = [share for share in shares if share is not None]
    if len(found) != 2:
        raise table.error("shrinkage is not a percentage", key, remedy)
    if not all(0 <= share <= MOST_SHRINKAGE / 100 for share in found):
        raise table.error(f"shrinkage must be from 0 % to {MOST_SHRINKAGE} %", key, remedy)
    return found[0], found[1]


def _repeat(table: TomlTable) -> tuple[float, float] | None:
    key, remedy = "repeat", 'Write repeat = "40 mm", or along and across ["40 mm", "30 mm"].'
    both = _both(table, key, remedy)
    return None if both is None else (table.length_of(key, both[0]), table.length_of(key, both[1]))
