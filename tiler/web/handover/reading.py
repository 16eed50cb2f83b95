"""The notes: read here, or written as files."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from starlette.responses import Response

from tiler.job.notes import notes_within
from tiler.output.bundle.texts import language_of
from tiler.proof.title import title_of
from tiler.sheets.notes.facts import NoteFacts
from tiler.web.asking import Asked, answers, url
from tiler.web.handover.asking import notes_of
from tiler.web.handover.work import OUT

if TYPE_CHECKING:
    from tiler.pattern.model import Pattern

#: The kind of work.
NOTES = "notes"


@answers("handover")
def preview(asked: Asked) -> Response:
    """The notes as they would be written."""
    return asked.show(
        "handover_preview.html", **notes_facts(asked, asked.pattern(asked.path["key"]))
    )


@answers("handover")
def make_notes(asked: Asked) -> Response:
    """Begin to write the notes as one kind of file."""
    key = asked.path["key"]
    folder, pattern = asked.library.folder(key), asked.pattern(key)
    asked.library.refuse_led_out(key, OUT)
    published = {file.name: file for file in _published(folder, pattern)}
    sheets = tuple(published[name] for name in asked.fields("sheets") if name in published)
    wishes = notes_of(asked, language_of("", pattern.handover.language))
    asked.works.begin(
        NOTES, "tiler.web.handover.work:notes", folder=folder, sheets=sheets, wishes=wishes
    )
    return asked.show("handover_notes_made.html", **_made_facts(asked))


@answers("handover")
def made_notes(asked: Asked) -> Response:
    """The file that was written."""
    return asked.show("handover_notes_made.html", **_made_facts(asked))


def notes_facts(asked: Asked, pattern: Pattern) -> dict[str, Any]:
    """What the parts need that tell of the notes.

    Args:
        asked: The request.
        pattern: As it is now.
    """
    folder = asked.library.folder(asked.path["key"])
    wishes = notes_of(asked, language_of("", pattern.handover.language))
    return {
        **_made_facts(asked),
        "notes": wishes,
        "notes_text": notes_within(pattern, NoteFacts(), wishes),
        "published": _published(folder, pattern),
    }


def _made_facts(asked: Asked) -> dict[str, Any]:
    key = asked.path["key"]
    works = asked.works.of(NOTES, folder=asked.library.folder(key))
    return {
        "key": key,
        "here": url("p", key, "handover"),
        "notes_work": works[0] if works else None,
    }


def _published(folder: Path, pattern: Pattern) -> list[Path]:
    """The files with sheets of the pattern that lie in its folder."""
    files = sorted((folder / OUT).glob("*.pdf"))
    return [file for file in files if title_of(file) == pattern.title]
