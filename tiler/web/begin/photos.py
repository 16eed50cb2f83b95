"""Photos or scans of a tracing: how large the cards were printed, then work that reads them."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from typing import TYPE_CHECKING

from starlette.responses import Response

from tiler.job.areanames import areas_said
from tiler.pattern.errors import BlocksheetError, FileError, MeasureError
from tiler.web.asking import Asked, answers, url
from tiler.web.begin.pages import at_home, interviewed, pictures_of

if TYPE_CHECKING:
    from tiler.job.capturing import CaptureWishes
    from tiler.layout.scale.printer import Printer
    from tiler.web.incoming import Arrival

#: The distance between the finest marks of usual rules, as written.
RULERS = ("1 mm", "0.5 mm", "1/16 in", "1/32 in")
#: What a refusal names -> the field that it is about.
_FIELDS = {
    "the bar across": "across",
    "the bar up": "up",
    "the bars": "across",
    "--style": "styles",
    "--piece": "pieces",
    "--title": "title",
}


def show_photos(asked: Asked, arrival: Arrival) -> Response:
    """What is asked before photos can be read."""
    from tiler.job.printedcards import bars_of_cards

    work = asked.works.get(arrival.work) if arrival.work else None
    return asked.show(
        "beginphotos.html",
        arrival=arrival,
        bars=bars_of_cards(),
        printers=_printers(),
        rulers=RULERS,
        work=work,
        pictures=[path.name for path in pictures_of(arrival)],
    )


@answers("begin")
def read(asked: Asked) -> Response:
    """Begin to read the photos."""
    arrival = asked.state.incoming.get(asked.path["id"])
    if arrival.kind != "photos":
        raise FileError("these are no photos", remedy="Give photos or scans of a tracing.")
    try:
        wishes = _wishes(asked)
    except BlocksheetError as error:
        return refused(asked, error, _FIELDS.get(error.where) or _at(asked))
    if arrival.work:
        asked.works.get(arrival.work).end()
    arrival.photographed = arrival.interview = None
    target = arrival.folder / "captured"
    shutil.rmtree(target, ignore_errors=True)
    work = asked.works.begin(
        "photos",
        "tiler.web.begin.reading:photographed",
        files=arrival.files,
        folder=target,
        wishes=wishes,
    )
    arrival.work = work.id
    return asked.show("beginwork.html", arrival=arrival, work=work, pictures=[])


@answers("begin")
def done(asked: Asked) -> Response:
    """What came of reading them: the questions, or why there are none."""
    arrival = asked.state.incoming.get(asked.path["id"])
    work = asked.works.get(arrival.work)
    if work.value is None:
        return problem_of(asked, arrival)
    arrival.photographed = work.value
    try:
        arrival.interview = interviewed(arrival)
    except BlocksheetError as error:
        arrival.photographed = None
        return asked.refusal(at_home(error, arrival), at="reading")
    return asked.go(url("begin", arrival.id))


@answers("begin")
def problem(asked: Asked) -> Response:
    """The pictures that show why photos could not be used."""
    return problem_of(asked, asked.state.incoming.get(asked.path["id"]))


def problem_of(asked: Asked, arrival: Arrival) -> Response:
    """The part that shows them."""
    names = [path.name for path in pictures_of(arrival)]
    return asked.show("beginproblem.html", arrival=arrival, pictures=names)


def refused(asked: Asked, error: BlocksheetError, field: str) -> Response:
    """A refusal beside its field, without the words that a command would need."""
    if field:
        error.where = ""
    for option in ("--style ", "--piece "):
        error.remedy = error.remedy.replace(option, "")
    return asked.refusal(error, at=field)


def _wishes(asked: Asked) -> CaptureWishes:
    from tiler.job.capturing import CaptureWishes
    from tiler.job.starting import Answers, words_said
    from tiler.pattern.units import parse_length

    title = words_said(asked.field("title"), "--title")
    if not title:
        raise MeasureError(
            "the pattern has no title yet", where="--title", remedy="Say what it is called."
        )
    by_printer = asked.field("by") == "printer"
    ruler = asked.field("ruler")
    return CaptureWishes(
        across=None if by_printer else _bar(asked, "across", "the bar across"),
        up=None if by_printer else _bar(asked, "up", "the bar up"),
        division=parse_length(ruler if ruler in RULERS else RULERS[0]),
        printer=asked.field("printer") if by_printer else "",
        styles=areas_said("--style", _lines(asked.field("styles"))),
        pieces=areas_said("--piece", _lines(asked.field("pieces"))),
        answers=Answers(title),
    )


def _bar(asked: Asked, name: str, where: str) -> float:
    try:
        return asked.typed(name)
    except BlocksheetError as error:
        raise (
            error.within(where)
            if error.where
            else type(error)(error.problem, where=where, remedy=error.remedy)
        ) from None


def _at(asked: Asked) -> str:
    return "printer" if asked.field("by") == "printer" else "across"


def _lines(words: str) -> Sequence[str]:
    return [line for line in words.splitlines() if line.strip()]


def _printers() -> tuple[Printer, ...]:
    from tiler.job.scaling import printers

    try:
        return printers()
    except BlocksheetError:
        # A damaged list of printers is told of on the printer's page; bars can be measured anyway.
        return ()
