"""Makes the bundle while the page tells how far it is."""

from __future__ import annotations

from starlette.responses import Response

from tiler.web.asking import Asked, answers
from tiler.web.handover.asking import FieldError, giving_of, surfaces_of
from tiler.web.handover.page import GIVING, given_facts
from tiler.web.handover.work import OUT


@answers("handover")
def give(asked: Asked) -> Response:
    """Begin to make the bundle; what was begun before for the pattern ends."""
    key = asked.path["key"]
    folder, pattern = asked.library.folder(key), asked.pattern(key)
    asked.library.refuse_led_out(key, OUT)
    try:
        surfaces, giving = surfaces_of(asked), giving_of(asked)
    except FieldError as wrong:
        return asked.refusal(wrong.error, at=wrong.at)
    for work in asked.works.of(GIVING, folder=folder):
        if work.going:
            work.end()
            work.wait(2)
    asked.works.begin(
        GIVING, "tiler.web.handover.work:give", folder=folder, surfaces=surfaces, giving=giving
    )
    return asked.show("handover_given.html", **given_facts(asked, pattern))


@answers("handover")
def given(asked: Asked) -> Response:
    """What came of it."""
    return asked.show("handover_given.html", **given_facts(asked, asked.pattern(asked.path["key"])))
