"""Cards with what patterns say of themselves; their pictures come when they are looked at."""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from starlette.responses import RedirectResponse, Response

from tiler.job.shelving import Shelved, away, demos, name_for, shelved
from tiler.pattern.errors import BlocksheetError, FileError
from tiler.web.asking import Asked, answers, url
from tiler.web.glances import inline, part_id

if TYPE_CHECKING:
    from tiler.pattern.model import Pattern

#: Days that are told as such; before that, dates are.
_DAYS_TOLD = 14
#: Pictures that stand in the page itself where they are at hand.
_AT_ONCE = 24


@dataclass(frozen=True, slots=True)
class Card:
    """One pattern on the shelf.

    Args:
        key: Name of its folder.
        part: Id of the part with its picture.
        told: What it says of itself.
        copy: A name that is free for a copy.
        drawn: The picture where it is at hand; else it comes when it is looked at.
    """

    key: str
    part: str
    told: Shelved
    copy: str
    drawn: str


@answers("shelf")
def shelf(asked: Asked) -> Response:
    """All patterns; a library of one pattern has no shelf."""
    if asked.library.alone:
        return RedirectResponse(url("p", asked.library.root.name, "table"), 303)
    return asked.show("shelf.html", **on_shelf(asked))


def on_shelf(asked: Asked) -> dict[str, Any]:
    """What the template of the shelf needs."""
    root = asked.library.root
    keys = asked.library.keys()
    told = sorted(
        (shelved(asked.library.folder(key)) for key in keys),
        key=lambda each: (-each.changed, each.name.casefold()),
    )
    names = asked.library.names()
    at_hand = {t.name: _at_hand(asked, t) for t in told[:_AT_ONCE]}
    cards = [
        Card(t.name, part_id(t.name), t, name_for(t.name, names), at_hand.get(t.name, ""))
        for t in told
    ]
    return {
        "cards": cards,
        "last": next((card for card in cards if card.told.error is None), None),
        "away": away(root),
        "root": root,
        "demos": [(demo, part_id(f"demo:{demo.name}")) for demo in demos()] if not cards else [],
        "when": lambda changed: _when(asked, changed),
        "iso": lambda changed: datetime.fromtimestamp(changed).isoformat("T", "minutes"),
    }


@answers("shelf")
def pattern(asked: Asked) -> Response:
    """A pattern is opened on its table."""
    asked.library.folder(asked.path["key"])
    return RedirectResponse(url("p", asked.path["key"], "table"), 303)


@answers("shelf")
def picture(asked: Asked) -> Response:
    """The picture of a pattern; or why there is none, and what to do."""
    key = asked.path["key"]
    folder = asked.library.folder(key)
    return _pictured(asked, key, folder, lambda: asked.pattern(key))


@answers("shelf")
def demo_picture(asked: Asked) -> Response:
    """The picture of one of our demos."""
    name = asked.path["name"]
    if name not in {demo.name for demo in demos()}:
        raise FileError(f"there is no demo pattern called {name!r}")
    from tiler.job.reading import locate, read

    source = Path(f"demo:{name}")
    return _pictured(asked, str(source), locate(source), lambda: read(source))


def _at_hand(asked: Asked, told: Shelved) -> str:
    return "" if told.error else asked.state.glances.kept(asked.library.folder(told.name))


def _pictured(asked: Asked, key: str, folder: Path, read: Callable[[], Pattern]) -> Response:
    try:
        drawn, error = asked.state.glances.of(folder, lambda: _drawn(read())), None
    except BlocksheetError as wrong:
        drawn, error = "", wrong
    return asked.show("shelfpicture.html", part=part_id(key), drawn=drawn, error=error)


def _drawn(pattern: Pattern) -> str:
    from tiler.output.svg import svg_bytes
    from tiler.sheets.glance import draw_glance

    return inline(svg_bytes(draw_glance(pattern), pattern.title))


def _when(asked: Asked, changed: float) -> str:
    """How long ago, in days as calendars have them; long ago, the date."""
    day, today = datetime.fromtimestamp(changed), datetime.fromtimestamp(time.time())
    days = (today.date() - day.date()).days
    if days <= 0:
        return asked.t("today", time=f"{day:%H:%M}")
    if days == 1:
        return asked.t("yesterday", time=f"{day:%H:%M}")
    if days <= _DAYS_TOLD:
        return asked.tn("days_ago", days)
    return asked.t("date", year=day.year, month=f"{day.month:02}", day=f"{day.day:02}")
