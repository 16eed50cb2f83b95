"""Lays a cloth while the page tells how far it is, and compares it in other widths."""

from __future__ import annotations

from starlette.responses import Response

from tiler.job import Packing
from tiler.pattern.errors import StoppedError
from tiler.web.asking import Asked, answers
from tiler.web.cloth.lays import COMPARING, LAYING, Cloths
from tiler.web.cloth.page import laid_facts
from tiler.web.cloth.wishes import FieldError, asked_for

_WORK = "tiler.web.cloth.work:lay_one"


@answers("cloth")
def lay(asked: Asked) -> Response:
    """Begin to lay a cloth; what was begun before for it ends."""
    cloths = _chosen(asked)
    try:
        wishes, packing = asked_for(asked, cloths.pattern.handover.cloth(cloths.cloth))
    except FieldError as wrong:
        return asked.refusal(wrong.error, at=wrong.at)
    for kind in (LAYING, COMPARING):
        if going := cloths.going(kind):
            going.end()
            going.wait(2)
    facts = {"folder": cloths.folder, "cloth": cloths.cloth, "wishes": wishes, "packing": packing}
    asked.works.begin(LAYING, _WORK, **facts)
    return asked.show("cloth_going.html", **laid_facts(asked, cloths))


@answers("cloth")
def laid(asked: Asked) -> Response:
    """What came of it."""
    return asked.show("cloth_laid.html", **laid_facts(asked, _chosen(asked)))


@answers("cloth")
def compare(asked: Asked) -> Response:
    """Begin to lay the cloth in all common widths, in brief."""
    cloths = _chosen(asked)
    if cloths.done is None:
        raise StoppedError("this cloth has not been laid yet", remedy="Lay it first.")
    if cloths.going(COMPARING) is None:
        asked.works.begin(
            COMPARING,
            _WORK,
            folder=cloths.folder,
            cloth=cloths.cloth,
            wishes=cloths.compared_by,
            packing=Packing("quick"),
        )
    return asked.show("cloth_widths.html", **laid_facts(asked, cloths))


@answers("cloth")
def compared(asked: Asked) -> Response:
    """The widths beside each other."""
    return asked.show("cloth_widths.html", **laid_facts(asked, _chosen(asked)))


def _chosen(asked: Asked) -> Cloths:
    """The cloth that the form or the address names."""
    return Cloths.of(asked, asked.field("cloth") or asked.query("cloth"))
