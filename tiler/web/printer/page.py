"""Choose the paper, see the pages, lay pieces by hand, and make the PDF."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from starlette.responses import Response
from starlette.routing import Route

from tiler.job.editing import version_of
from tiler.job.planning import Planned, forget_places, keep_places, moved
from tiler.pattern.errors import BlocksheetError, LengthError, StoppedError
from tiler.web.asking import Asked, answers, url
from tiler.web.printer.desk import Desk, Laid, desk_of
from tiler.web.printer.facts import facts_of
from tiler.web.printer.order import FieldError, Order, order_of
from tiler.web.printer.work import Made

if TYPE_CHECKING:
    from collections.abc import Callable

    from tiler.web.works import Work

#: What another page tells of a choice; all else stays as it was chosen last.
_CARRIED = ("paper", "printer")
#: Farthest that one move takes a piece, millimetres.
_FAR = 20_000.0


@answers("printer")
def page(asked: Asked) -> Response:
    """The whole page; what is asked for in the address is chosen already."""
    key, desk, query = asked.path["key"], _desk(asked), asked.request.query_params
    order = order_of(asked.query, _chosen(query.getlist("style")), asked.settings)
    last = desk.last(key)
    if last and set(query) <= set(_CARRIED):
        order = replace(last, **{name: getattr(order, name) for name in query})
    laid = None if order.on_mat else desk.planned(key, _version(asked), order)
    return asked.show("printer.html", **facts_of(asked, order, laid))


@answers("printer")
def plan(asked: Asked) -> Response:
    """Lay the pieces for what the form says, unless that was done already."""
    try:
        order = _order(asked)
    except FieldError as error:
        return asked.refusal(error, at=error.at)
    key, version, desk = asked.path["key"], _version(asked), _desk(asked)
    desk.note(key, order)
    if order.on_mat:
        return asked.show("printerparts.html", **facts_of(asked, order, None))
    laid = desk.planned(key, version, order)
    if laid and not asked.field("search"):
        return asked.show("printerparts.html", **facts_of(asked, order, laid))
    going = _going(asked, key)
    if going and going.facts["version"] == version and _laying(going) == order.laying:
        return asked.show("printerparts.html", **facts_of(asked, order, None, planning=going))
    if going:
        going.end()
    folder = asked.library.folder(key)
    work = asked.works.begin("plan", "tiler.web.printer.work:plan", folder=folder, order=order)
    work.facts["version"] = version
    desk.begun(key, work.id)
    return asked.show("printerparts.html", **facts_of(asked, order, None, planning=work))


@answers("printer")
def planned(asked: Asked) -> Response:
    """The plan, once it is found."""
    key, (work, order) = asked.path["key"], _work(asked, "plan")
    found = work.value
    if not isinstance(found, Planned):
        return asked.show("printerplan.html", **facts_of(asked, order, None, planning=work))
    desk, version = _desk(asked), str(work.facts["version"])
    last = desk.last(key)
    if last and last.laying == order.laying:
        # What the plan does not hang on may have been chosen otherwise meanwhile.
        order = last
    laid = desk.planned(key, version, order)
    if not laid or laid.work != work.id:
        facts = found.plan, found.findings, found.by_hand
        laid = desk.put(Laid(key, version, order, *facts, work=work.id))
    return asked.show("printerplan.html", **facts_of(asked, order, laid))


@answers("printer")
def move(asked: Asked) -> Response:
    """Move a piece by hand, and count the pages anew."""
    laid = _laid(asked)
    dx, dy, turn = (_number(asked, name) for name in ("dx", "dy", "turn"))
    pattern = asked.pattern(laid.key)
    new = moved(laid.plan, pattern, asked.field("piece"), dx, dy, turn)
    kept = _desk(asked).put(
        Laid(laid.key, laid.version, laid.order, new, laid.findings, laid.by_hand, laid.name)
    )
    return asked.show("printerparts.html", **facts_of(asked, kept.order, kept))


@answers("printer")
def undo(asked: Asked) -> Response:
    """Take the last move back."""
    laid = _laid(asked)
    before = _desk(asked).get(laid.key, laid.before) if laid.before else laid
    return asked.show("printerparts.html", **facts_of(asked, before.order, before))


@answers("printer")
def keep(asked: Asked) -> Response:
    """Write the places into the pattern file, so that the PDF has them."""
    laid, key = _laid(asked), asked.path["key"]
    folder, order, lies = asked.library.folder(key), laid.order, laid.plan
    if not laid.moved:
        # Places are kept rounded; a move by nothing rounds them here as well.
        lies = moved(lies, asked.pattern(key), lies.placements[0].piece.name, 0, 0)
    edited = keep_places(folder, lies, order.surface, order.packing, laid.version, order.styles)
    kept = _desk(asked).put(Laid(key, edited.version, order, lies, (), by_hand=True))
    return asked.show("printerparts.html", **facts_of(asked, order, kept, just_kept=True))


@answers("printer")
def anew(asked: Asked) -> Response:
    """Keep the places no longer; the pieces are laid by the search again."""
    laid, key = _laid(asked), asked.path["key"]
    forget_places(asked.library.folder(key), laid.order.surface, laid.version, laid.order.styles)
    return asked.go(url("p", key, "printer"))


@answers("printer")
def publish(asked: Asked) -> Response:
    """Make the PDF, or the pictures for a mat."""
    try:
        order = _order(asked)
    except FieldError as error:
        return asked.refusal(error, at=error.at)
    key, pieces = asked.path["key"], tuple(dict.fromkeys(asked.fields("pieces")))
    asked.library.refuse_led_out(key, "sheets")
    name = "show_pieces" if order.on_mat else "publish_pages"
    work = asked.works.begin(
        "publish",
        f"tiler.web.printer.work:{name}",
        folder=asked.library.folder(key),
        order=order,
        pieces=pieces,
    )
    laid = None if order.on_mat else _desk(asked).planned(key, _version(asked), order)
    return asked.show("printermade.html", **facts_of(asked, order, laid, making=work))


@answers("printer")
def made(asked: Asked) -> Response:
    """What was made; the plan now knows the pages' numbers in the file."""
    key, (work, order) = asked.path["key"], _work(asked, "publish")
    done = work.value
    if done is None:
        return asked.show("printermade.html", **facts_of(asked, order, None, making=work))
    desk, laid = _desk(asked), None
    if isinstance(done, Made):
        # A file of chosen pieces has other numbers than the whole one.
        if not done.pieces:
            desk.note_front(key, done.code, done.front)
        laid = desk.planned(key, _version(asked), order)
    template = "printerparts.html" if laid or order.on_mat else "printermade.html"
    return asked.show(template, **facts_of(asked, order, laid, done=done))


def _order(asked: Asked) -> Order:
    return order_of(asked.field, _chosen(asked.fields("style")), asked.settings)


def _chosen(styles: list[str] | tuple[str, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(styles))


def _desk(asked: Asked) -> Desk:
    return desk_of(asked.state)


def _version(asked: Asked) -> str:
    return version_of(asked.library.folder(asked.path["key"]))


def _work(asked: Asked, kind: str) -> tuple[Work, Order]:
    """The work that the address names, and what it was asked for.

    Raises:
        StoppedError: It is not known, or is none for this pattern.
    """
    work, folder = asked.works.get(asked.path["work"]), asked.library.folder(asked.path["key"])
    order = work.facts.get("order")
    if work.kind != kind or work.facts.get("folder") != folder or not isinstance(order, Order):
        raise StoppedError("this work is not for this pattern", remedy="Load the page again.")
    return work, order


def _laid(asked: Asked) -> Laid:
    return _desk(asked).get(asked.path["key"], asked.field("plan"))


def _number(asked: Asked, name: str) -> float:
    try:
        found = float(asked.field(name, "0"))
    except ValueError:
        found = float("nan")
    if not abs(found) <= _FAR:
        raise LengthError(f"{asked.field(name)[:20]!r} is no distance to move a piece")
    return found


def _going(asked: Asked, key: str) -> Work | None:
    """The work that plans the pages of a pattern right now."""
    name = _desk(asked).going(key)
    try:
        work = asked.works.get(name) if name else None
    except BlocksheetError:
        return None
    return work if work and work.going else None


def _laying(work: Work) -> tuple[object, ...]:
    order = work.facts["order"]
    assert isinstance(order, Order)
    return order.laying


def _at(name: str, handler: Callable[..., object], *, post: bool = True) -> Route:
    methods = ["POST"] if post else ["GET"]
    return Route(f"/p/{{key}}/printer{name}", handler, methods=methods)


routes = [
    _at("", page, post=False),
    _at("/plan", plan),
    _at("/planned/{work}", planned, post=False),
    _at("/move", move),
    _at("/undo", undo),
    _at("/keep", keep),
    _at("/anew", anew),
    _at("/publish", publish),
    _at("/made/{work}", made, post=False),
]
