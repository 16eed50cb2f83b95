"""The page itself, and the parts that it is made of."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from starlette.responses import Response

from tiler.job import EFFORTS
from tiler.job.cloth import SPREADS, WIDTHS, without_cloth
from tiler.job.editing import version_of
from tiler.layout.cloth.model import GAP, SELVEDGE
from tiler.sheets import layplanwords
from tiler.sheets.layplanwords import both
from tiler.web.asking import Asked, answers, url
from tiler.web.cloth.lays import COMPARING, Cloths, best_of, picture_of
from tiler.web.cloth.wishes import WIDTH_UNITS, shown, width_value


@answers("cloth")
def page(asked: Asked) -> Response:
    """The cloths of a pattern, one of which is looked at."""
    return asked.show("cloth.html", **page_facts(asked, Cloths.of(asked, asked.query("cloth"))))


def page_facts(asked: Asked, cloths: Cloths) -> dict[str, Any]:
    """What the whole page needs."""
    facts = laid_facts(asked, cloths)
    pattern, name = cloths.pattern, cloths.cloth
    made = pattern.handover.cloth(name)
    kept = bool(asked.query("kept"))
    last = None if kept else cloths.last
    return {
        **facts,
        "form": shown(asked, made, *(last or (None, "normal"))),
        "kept": kept,
        "based_on": version_of(cloths.folder),
        "made": made,
        "about": dict(pattern.cloths).get(name, ""),
        "without": without_cloth(pattern),
        "styles": pattern.styles,
        "widths": [(width_value(width), width) for width in WIDTHS],
        "width_unit": WIDTH_UNITS[asked.settings.units],
        "spreads": SPREADS,
        "efforts": EFFORTS,
        "usual": {"gap": GAP, "selvedge": SELVEDGE},
    }


def laid_facts(
    asked: Asked, cloths: Cloths, saved: Sequence[Path] = (), language: str = ""
) -> dict[str, Any]:
    """What the parts need that change once a cloth is laid.

    Args:
        asked: The request.
        cloths: The cloths.
        saved: Files that were just written.
        language: Of the files to write; empty for the user's.
    """
    tongue = asked.settings.language
    lays = cloths.lays
    plan = best_of(lays) if lays else None
    title = ""
    if lays and plan:
        width = both(plan.cloth.width, tongue)
        title = asked.t("picture_title", cloth=cloths.called(lays.cloth), width=width)
    return {
        "key": asked.path["key"],
        "title": cloths.pattern.title,
        "cloths": cloths,
        "here": url("p", asked.path["key"], "cloth"),
        "work": cloths.going() or cloths.failed(),
        "comparing": cloths.going(COMPARING),
        "lays": lays,
        "plan": plan,
        "picture": picture_of(lays, plan, tongue, title) if lays and plan else "",
        "words": layplanwords,
        "tongue": tongue,
        "saved": saved,
        "plan_language": language or tongue,
    }
