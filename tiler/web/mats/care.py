"""What to take care of where a projector is used."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tiler.sheets.words import say

if TYPE_CHECKING:
    from tiler.web.asking import Asked


def care_of(asked: Asked) -> dict[str, Any]:
    """The caution in the user's language, for the page's templates."""
    language = asked.settings.language
    things = say("caution_projector_things", language)
    return {
        "care_title": say("caution_projector_title", language),
        "care_text": say("caution_projector_text", language),
        "care_defers": say("caution_defers", language, things=things),
    }
