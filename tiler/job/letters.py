"""Letters that the typeface has not."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tiler.pattern.model import Finding


def unprintable_findings(text: str) -> tuple[Finding, ...]:
    """A warning where a text has letters that come out blank.

    Args:
        text: All that is written on a publication.
    """
    from tiler.pattern.model import Finding, Severity
    from tiler.sheets.lettering import unprintable

    missing = unprintable(text)
    if not missing:
        return ()
    words = f"The typeface cannot print {missing!r}; these letters are blank or out of order."
    return (Finding("letters-missing", Severity.WARNING, "", words),)
