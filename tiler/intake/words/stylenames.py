"""Names that styles can have."""

from __future__ import annotations

from tiler.intake.tomltable import NAME_LIMIT, TomlTable
from tiler.pattern.model import AND


def refuse_style_name(table: TomlTable, name: str) -> None:
    """Refuse a name that cannot be a style's.

    Raises:
        PatternError: It is empty, too long, cannot be printed, or is the name of two styles.
    """
    if not name.strip() or len(name) > NAME_LIMIT or not name.isprintable():
        raise table.error("a style has no usable name", remedy='Write narrow = "B".')
    if AND in name:
        raise table.error(
            f'the style "{name}" has "{AND}" in its name, which stands between styles that share '
            "a line",
            name,
            f'Rename it, as in "{name.replace(AND, "-and-")}".',
        )
