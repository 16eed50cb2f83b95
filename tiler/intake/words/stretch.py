"""How far cloths stretch."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from tiler.intake.tomltable import TomlTable, near_miss
from tiler.intake.tomlvalues import percent_in

#: More (percent) than any cloth for garments stretches; common practice, no source.
MOST_STRETCH = 300


def cloth_stretch(top: TomlTable, cloths: Collection[str]) -> Iterator[tuple[str, float]]:
    """What [stretch] says: name of a cloth, and 0.25 for one that stretches by 25 %.

    Raises:
        PatternError: No percentage from 0 to 300, or a cloth that [cloth] does not describe.
    """
    table = top.inner("stretch")
    for cloth in table.data:
        if cloths and cloth not in cloths:
            raise table.error(
                f'there is no cloth "{cloth}" in the table [cloth]',
                cloth,
                near_miss(cloth, cloths),
            )
        share = percent_in(table, cloth, MOST_STRETCH)
        if share is not None:
            yield cloth, share
