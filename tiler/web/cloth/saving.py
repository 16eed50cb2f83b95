"""Writes the plan to print, and what is typed into the pattern."""

from __future__ import annotations

from urllib.parse import quote

from starlette.responses import Response

from tiler.job.cloth import plan_language, write_lay_plans
from tiler.pattern.errors import StoppedError
from tiler.web.asking import Asked, answers, url
from tiler.web.cloth.lays import Cloths
from tiler.web.cloth.page import laid_facts
from tiler.web.cloth.wishes import FieldError, asked_for, facts_to_keep


@answers("cloth")
def save(asked: Asked) -> Response:
    """Write the plan that is shown as a PDF, into the folder of what was made."""
    cloths = Cloths.of(asked, asked.field("cloth"))
    done = cloths.done
    if done is None:
        raise StoppedError("this cloth has not been laid yet", remedy="Lay it first.")
    language = plan_language(asked.field("language", asked.settings.language))
    asked.library.refuse_led_out(asked.path["key"], "sheets")
    out = cloths.folder / "sheets"
    saved = write_lay_plans([done.value], cloths.folder, out, "pdf", language)
    return asked.show("cloth_laid.html", **laid_facts(asked, cloths, saved, language))


@answers("cloth")
def keep(asked: Asked) -> Response:
    """Write into the pattern what is asked for of the cloth and the pattern does not say."""
    from tiler.job.editing import edit

    cloths = Cloths.of(asked, asked.field("cloth"))
    made = cloths.pattern.handover.cloth(cloths.cloth)
    try:
        wishes, _ = asked_for(asked, made)
    except FieldError as wrong:
        return asked.refusal(wrong.error, at=wrong.at)
    based_on = asked.field("based_on")
    for change in facts_to_keep(cloths.cloth, wishes, made):
        based_on = edit(cloths.folder, change, based_on).version
    return asked.go(f"{url('p', asked.path['key'], 'cloth')}?cloth={quote(cloths.cloth)}&kept=1")
