"""Print a page, measure its two bars, know how true it is, and keep what was found."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any

from starlette.responses import Response
from starlette.routing import Route

from tiler.job.scaling import (
    PAGES,
    find_printer,
    forget_printer,
    keep_printer,
    kept_otherwise,
    kept_paper,
    printer_of,
    printers,
    sheet_name,
)
from tiler.layout.papers import PAPERS as KNOWN
from tiler.pattern.errors import FileError, LengthError, MeasureError
from tiler.web.asking import Asked, answers, url
from tiler.web.lengths import bare
from tiler.web.scale.measured import GRADES, PAPERS, RULERS, Measured, Printed, measured
from tiler.web.scale.picture import calibration_page, picture_of
from tiler.web.scale.told import percents, rows, told

if TYPE_CHECKING:
    from tiler.layout.scale import Printer
    from tiler.pattern.model import Pattern


@answers("scale")
def page(asked: Asked) -> Response:
    """The whole page, with nothing measured yet."""
    printed = Printed.of(asked, asked.query)
    return asked.show("scale.html", **_facts(asked, Measured(printed)))


@answers("scale")
def judge(asked: Asked) -> Response:
    """What the fields say by now."""
    return asked.show("scaleparts.html", **_facts(asked, _measured(asked)))


@answers("scale")
def keep(asked: Asked) -> Response:
    """Keep the printer, once its owner has confirmed what must be confirmed."""
    from tiler.layout.scale import Verdict

    found = _measured(asked)
    if found.judgement is None:
        return asked.show("scaleparts.html", **_facts(asked, found))
    try:
        printer = _printer(asked, found)
    except LengthError as error:
        return asked.refusal(error, at="prints_to")
    except MeasureError as error:
        return asked.refusal(error, at="name")
    if found.judgement.verdict is Verdict.ASK and not asked.field("sure"):
        return asked.show("scaleparts.html", **_facts(asked, found, missing="sure"))
    if kept_otherwise(printer) and not asked.field("again"):
        return asked.show("scaleparts.html", **_facts(asked, found, missing="again"))
    earlier = kept_paper(printer.name)
    keep_printer(printer)
    earlier = earlier if earlier not in ("", printer.paper) else ""
    return asked.show("scaleparts.html", **_facts(asked, found, kept=printer, earlier=earlier))


@answers("scale")
def forget(asked: Asked) -> Response:
    """Keep a printer no longer."""
    name = forget_printer(asked.field("name"))
    return asked.show("scalekept.html", kept=printers(), forgotten=name, percents=_percents)


@answers("scale")
def sheet(asked: Asked) -> Response:
    """The calibration page as a PDF; for a printer that is kept, with its error made up for."""
    from tiler.job.scalesheet import write_scale_sheet

    name = asked.query("printer")
    printer = find_printer(name) if name else None
    if printer and printer.is_true:
        printer = None
    paper = asked.path["paper"]
    with tempfile.TemporaryDirectory() as folder:
        file = write_scale_sheet(paper, Path(folder) / sheet_name(paper, printer), printer)
        content, called = file.read_bytes(), file.name
    shown = "inline" if "show" in asked.request.query_params else "attachment"
    return _file(content, "application/pdf", called, shown)


@answers("scale")
def drawn(asked: Asked) -> Response:
    """The calibration page as a picture."""
    from tiler.output.svg import svg_bytes

    paper = asked.path["paper"]
    if paper not in KNOWN:
        raise FileError(f"there is no paper called {paper!r}", remedy="Choose one of the list.")
    content = svg_bytes(calibration_page(paper), paper)
    return _file(content, "image/svg+xml", f"{paper}.svg", "inline")


def _file(content: bytes, kind: str, name: str, shown: str) -> Response:
    from urllib.parse import quote

    disposition = f"{shown}; filename*=utf-8''{quote(name)}"
    return Response(content, media_type=kind, headers={"content-disposition": disposition})


def _measured(asked: Asked) -> Measured:
    return measured(asked, _garment(asked, asked.field("for")))


def _printer(asked: Asked, found: Measured) -> Printer:
    """The printer as the form names it.

    Raises:
        BlocksheetError: Its name or margin cannot be, or this is no error of a printer.
    """
    assert found.judgement is not None
    margin = asked.typed("prints_to") if asked.field("prints_to") else None
    return printer_of(asked.field("name"), found.printed.paper, found.judgement, margin)


def _garments(asked: Asked) -> list[tuple[str, str]]:
    """Key and title of every pattern; only the whole page lists them."""
    keys = asked.library.keys()
    return [(key, _title(asked, key)) for key in keys]


def _title(asked: Asked, key: str) -> str:
    from tiler.job.shelving import shelved

    return shelved(asked.library.folder(key)).title


def _other(asked: Asked, found: Measured) -> Printer | None:
    """The printer that is kept under this name with other figures."""
    if not asked.field("name") or found.judgement is None:
        return None
    try:
        return kept_otherwise(_printer(asked, found))
    except (LengthError, MeasureError):
        return None


def _garment(asked: Asked, key: str) -> Pattern | None:
    return asked.pattern(key) if key else None


def _percents(printer: Printer) -> tuple[str, str]:
    from tiler.layout.scale import Axis

    across, up = (
        percents(Axis(scale, pm / 2))
        for scale, pm in ((printer.across, printer.across_pm), (printer.up, printer.up_pm))
    )
    return f"{across[0]} ± {across[1]}", f"{up[0]} ± {up[1]}"


def _facts(
    asked: Asked,
    found: Measured,
    *,
    missing: str = "",
    kept: Printer | None = None,
    earlier: str = "",
) -> dict[str, Any]:
    """All that the page, or a part of it, shows."""
    from tiler.layout.scale import Verdict

    judgement, printed = found.judgement, found.printed
    keeps = judgement is not None and judgement.verdict.may_be_kept
    if kept:
        step = "kept"
    elif judgement is None or not keeps:
        step = "get"
    else:
        step = "print" if judgement.verdict is Verdict.TRUE else "keep"
    garment = printed.garment
    return {
        "found": found,
        "printed": printed,
        "margin": bare(printed.margin, asked.settings.units),
        "picture": picture_of(printed),
        "papers": [KNOWN[name] for name in PAPERS],
        "pages": PAGES,
        "rulers": RULERS,
        "grades": GRADES,
        "garments": lambda: _garments(asked),
        "garment": _title(asked, garment) if garment else "",
        "told": told(asked, judgement) if judgement else None,
        "rows": rows(asked, judgement, garment=bool(garment)) if judgement else [],
        "axes": [percents(axis) for axis in (judgement.across, judgement.up)] if judgement else [],
        "step": step,
        "keeps": keeps,
        "asks": judgement is not None and judgement.verdict is Verdict.ASK,
        "other": None if kept else _other(asked, found),
        "sure": bool(asked.field("sure")),
        "again": bool(asked.field("again")),
        "missing": missing,
        "kept_now": kept,
        "earlier": earlier,
        "kept": printers(),
        "forgotten": "",
        "percents": _percents,
        "printing": url("p", garment, "printer") if garment else "/",
    }


routes = [
    Route("/scale", page),
    Route("/scale/judge", judge, methods=["POST"]),
    Route("/scale/keep", keep, methods=["POST"]),
    Route("/scale/forget", forget, methods=["POST"]),
    Route("/scale/sheet/{paper}", sheet),
    Route("/scale/drawn/{paper}", drawn),
]
