"""The page itself, and what its parts show."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from starlette.responses import Response

from tiler.job import EFFORTS, JOINTS
from tiler.job.cloth import WIDTHS
from tiler.job.giving import bundle_name, spoilt
from tiler.job.missing import missing
from tiler.job.notes import NOTE_PAPERS, UNITS
from tiler.layout.papers import PAPERS as ALL_PAPERS
from tiler.output.bundle.texts import language_of
from tiler.pattern.errors import BlocksheetError
from tiler.sheets import layplanwords
from tiler.web import words
from tiler.web.asking import Asked, answers, url
from tiler.web.handover.asking import PAPERS, USUAL, WIDE_UNITS, width_value
from tiler.web.handover.reading import notes_facts
from tiler.web.handover.work import OUT
from tiler.web.works import Work

if TYPE_CHECKING:
    from tiler.job.giving import Given
    from tiler.pattern.model import Pattern

#: The kind of work.
GIVING = "give"


@answers("handover")
def page(asked: Asked) -> Response:
    """What spoils the garment, what is missing, the bundle, the notes."""
    key = asked.path["key"]
    pattern = asked.pattern(key)
    uncut: BlocksheetError | None = None
    try:
        faults = spoilt(pattern)
    except BlocksheetError as wrong:
        faults, uncut = (), wrong
    return asked.show(
        "handover.html",
        **(given_facts(asked, pattern) | notes_facts(asked, pattern)),
        faults=faults,
        uncut=uncut,
        missing=missing(pattern),
        styles=pattern.styles,
        licence=pattern.handover.licence,
        papers=[(name, ALL_PAPERS[name].name) for name in PAPERS],
        usual=USUAL,
        joints=JOINTS,
        units=UNITS,
        efforts=EFFORTS,
        note_papers=NOTE_PAPERS,
        widths=[(width_value(width), width) for width in WIDTHS],
        wide_unit=WIDE_UNITS[asked.settings.units],
        made_widths=any(each.width for each in pattern.handover.cloths),
    )


def given_facts(asked: Asked, pattern: Pattern) -> dict[str, Any]:
    """What the parts need that tell of the bundle.

    Args:
        asked: The request.
        pattern: As it is now.
    """
    key = asked.path["key"]
    folder = asked.library.folder(key)
    work = next(iter(asked.works.of(GIVING, folder=folder)), None)
    done = work if work and not work.going and not work.error else None
    usual = language_of("", pattern.handover.language)
    before = folder / OUT / bundle_name(pattern, ())
    given: Given | None = done.value if done else None
    return {
        "key": key,
        "title": pattern.title,
        "here": url("p", key, "handover"),
        "work": work if work is not done else None,
        "given": given,
        "letter": _letter(pattern, given, done, usual) if given and done else "",
        "before": before.name if given is None and before.is_file() else "",
        "stale": given is not None and given.digest != pattern.digest,
        "usual_language": usual,
        "tongue": asked.settings.language,
        "words": layplanwords,
    }


def _letter(pattern: Pattern, given: Given, work: Work, usual: str) -> str:
    """What to write to the friend, in the language of the bundle."""
    giving: Any = work.facts["giving"]
    language = giving.language or usual
    tiled = [sheet for sheet in given.sheets if sheet.front]
    papers = ", ".join(sheet.plan.grid.setup.paper.name for sheet in given.sheets)
    keys = ["letter_hello", "letter_unpack", "letter_first"]
    keys += ["letter_print"] if tiled else []
    keys += ["letter_shop"] if len(tiled) < len(given.sheets) else []
    keys += ["letter_notes", "letter_ask"]
    facts = {"title": pattern.title, "file": given.file.name, "papers": papers}
    return "\n\n".join(words.say(language, "handover", key, **facts) for key in keys)
