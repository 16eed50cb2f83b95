"""All that the printer page, or a part of it, shows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from tiler.job.mats import mats
from tiler.job.options import JOINTS, ORIENTATIONS
from tiler.job.projecting import GROUNDS, HALVES
from tiler.job.scaling import printers
from tiler.job.surfaces import MAT
from tiler.layout.packing.options import EFFORTS
from tiler.layout.papers import PAPERS
from tiler.web.asking import url
from tiler.web.lengths import bare
from tiler.web.mats.care import care_of
from tiler.web.printer.desk import desk_of
from tiler.web.printer.order import LARGE, ROLLS, SMALL, Order
from tiler.web.printer.shown import sight_of
from tiler.web.printer.work import Made, Shown

if TYPE_CHECKING:
    from pathlib import Path

    from tiler.web.asking import Asked
    from tiler.web.printer.desk import Laid
    from tiler.web.works import Work


def facts_of(
    asked: Asked,
    order: Order,
    laid: Laid | None,
    *,
    planning: Work | None = None,
    making: Work | None = None,
    done: Made | Shown | None = None,
    just_kept: bool = False,
) -> dict[str, Any]:
    """For the page's templates.

    Args:
        asked: The request.
        order: What is chosen.
        laid: The plan of it, if there is one.
        planning: The work that looks for it.
        making: The work that makes the file.
        done: What was made.
        just_kept: Whether places were written into the pattern file just now.
    """
    key = asked.path["key"]
    folder = asked.library.folder(key)
    pattern = asked.pattern(key)
    front = desk_of(asked.state).front(key, laid.plan.code) if laid else None
    if making is None and done is None:
        # A file that is being made stays in sight whatever else is asked for meanwhile.
        files = asked.works.of("publish", folder=folder)
        making = next((work for work in files if work.going), None)
    if laid and laid.moved:
        step = "keep"
    elif isinstance(done, Made):
        step = "scale"
    elif isinstance(done, Shown):
        step = "stage"
    else:
        step = "publish"
    return {
        "key": key,
        "title": pattern.title,
        "base": url("p", key, "printer"),
        "order": order,
        "pattern_styles": pattern.styles,
        "piece_names": [piece.name for piece in pattern.pieces],
        "small": [PAPERS[name] for name in SMALL],
        "large": [PAPERS[name] for name in LARGE],
        "rolls": ROLLS[asked.settings.units],
        "joints": JOINTS,
        "orientations": ORIENTATIONS,
        "efforts": EFFORTS,
        "grounds": GROUNDS,
        "halves": HALVES,
        "printers": printers(),
        "mats": mats(),
        "mat_word": MAT,
        "bare": lambda mm: bare(mm, asked.settings.units),
        "laid": laid,
        "sight": sight_of(laid, pattern, front) if laid else None,
        "planning": planning,
        "making": making,
        "done": done,
        "made": done if isinstance(done, Made) else None,
        "shown": done if isinstance(done, Shown) else None,
        "step": step,
        "just_kept": just_kept,
        "command": order.command(folder, done.pieces if isinstance(done, Made) else ()),
        "scale_link": _scale_link(asked, key, order),
        "files": _files(folder),
        "fraction": _fraction,
        **care_of(asked),
    }


def _scale_link(asked: Asked, key: str, order: Order) -> str:
    page = "calibration" if order.large or order.on_mat else "pattern"
    said = {"for": key, "page": page}
    if not order.large and not order.on_mat:
        said |= {"paper": order.paper, "margin": bare(order.margin, asked.settings.units)}
    return f"/scale?{urlencode(said)}"


def _files(folder: Path) -> list[str]:
    """PDFs that were made before, the newest first."""
    sheets = folder / "sheets"
    if sheets.is_symlink() or not sheets.is_dir():
        return []
    found = [path for path in sheets.glob("*.pdf") if path.is_file() and not path.is_symlink()]
    return [path.name for path in sorted(found, key=lambda path: -path.stat().st_mtime)]


def _fraction(share: float, places: int = 0) -> str:
    return f"{share * 100:.{places}f}\u00a0%"
