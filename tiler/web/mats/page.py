"""The list of mats, the page of each one, and its picture over the whole screen."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from starlette.responses import FileResponse, Response
from starlette.routing import Route

from tiler.job.mats import find_mat, forget_mat, mats, measure_mat, new_mat, write_grid
from tiler.pattern.errors import BlocksheetError, FileError, ProjectionError
from tiler.web.asking import Asked, answers, url
from tiler.web.library import is_plain
from tiler.web.mats.care import care_of
from tiler.web.mats.lines import LINES, lines_of

if TYPE_CHECKING:
    from tiler.job.mats import Measured
    from tiler.layout.mats.mat import Mat

_KINDS = {"png": "image/png", "pdf": "application/pdf"}


@answers("mats")
def shelf(asked: Asked) -> Response:
    """All mats, and the form for a new one."""
    return asked.show("mats.html", mats=mats(), **care_of(asked))


@answers("mats")
def make(asked: Asked) -> Response:
    """Keep a new mat."""
    unit = asked.settings.units
    size = f"{_side(asked, 'width', unit)} x {_side(asked, 'height', unit)}"
    pixels = f"{asked.field('across_px')}x{asked.field('down_px')}"
    try:
        mat = new_mat(asked.field("name"), pixels, size)
    except BlocksheetError as error:
        fields = {"--pixels": "across_px", "--size": "width"}
        return asked.refusal(error, at=fields.get(error.where, "name"))
    return asked.go(url("mats", mat.name))


@answers("mats")
def one(asked: Asked) -> Response:
    """The way from the grid to a measured mat."""
    return asked.show("mat.html", **_facts(asked, find_mat(asked.path["name"])))


@answers("mats")
def measure(asked: Asked) -> Response:
    """Find where the picture lies, and keep it."""
    mat = find_mat(asked.path["name"])
    lengths = {}
    for line in LINES:
        if not asked.field(line.key):
            continue
        try:
            lengths[line.key] = asked.typed(line.key)
        except BlocksheetError as error:
            return asked.refusal(error, at=line.key)
    for line in LINES:
        if line.key not in lengths and not line.optional:
            missing = ProjectionError(asked.t("missing", line=asked.t(line.word)))
            return asked.refusal(missing, at=line.key)
    try:
        noise = asked.typed("noise") if asked.field("noise") else None
        found = measure_mat(mat.name, lengths, noise)
    except ProjectionError as error:
        return asked.refusal(error, at=_blamed(error))
    return asked.show("matparts.html", **_facts(asked, found.mat, found))


@answers("mats")
def forget(asked: Asked) -> Response:
    """Keep a mat no longer."""
    forget_mat(asked.path["name"])
    return asked.go("/mats")


@answers("mats")
def grid(asked: Asked) -> Response:
    """The grid as a picture at the projector's own pixels, or as a PDF."""
    mat, kind = find_mat(asked.path["name"]), asked.path["kind"]
    if kind not in _KINDS:
        raise FileError(f"there is no grid as {kind!r}", remedy="Take png or pdf.")
    with tempfile.TemporaryDirectory() as folder:
        files = {file.suffix[1:]: file for file in write_grid(mat, Path(folder))}
        content, called = files[kind].read_bytes(), files[kind].name
    shown = "inline" if "show" in asked.request.query_params else "attachment"
    disposition = f"{shown}; filename*=utf-8''{quote(called)}"
    return Response(content, media_type=_KINDS[kind], headers={"content-disposition": disposition})


@answers("mats")
def show_grid(asked: Asked) -> Response:
    """The grid over the whole screen."""
    mat = find_mat(asked.path["name"])
    picture = (f"{url('mats', mat.name, 'grid', 'png')}?show", asked.t("grid_picture"))
    return _stage(asked, mat.name, [picture], url("mats", mat.name))


@answers("mats")
def show_windows(asked: Asked) -> Response:
    """The pictures of a pattern over the whole screen, one after the other."""
    key, name = asked.path["key"], asked.path["set"]
    files = sorted(_set(asked, key, name).glob("*.png"))
    if not files:
        raise FileError("there are no pictures in it", where=name, remedy="Make them again.")
    pictures = [(url("p", key, "windows", name, file.name), _title(file)) for file in files]
    return _stage(asked, name, pictures, url("p", key, "printer"))


@answers("mats")
def window(asked: Asked) -> Response:
    """One picture."""
    folder, name = _set(asked, asked.path["key"], asked.path["set"]), asked.path["name"]
    file = folder / name
    if not is_plain(name) or file.suffix != ".png" or file.is_symlink() or not file.is_file():
        raise FileError(f"there is no picture called {name!r}", remedy="Make them again.")
    return FileResponse(file, content_disposition_type="inline", filename=name)


def _set(asked: Asked, key: str, name: str) -> Path:
    sheets = asked.library.folder(key) / "sheets"
    folder = sheets / name
    if not is_plain(name) or sheets.is_symlink() or folder.is_symlink() or not folder.is_dir():
        raise FileError(f"there are no pictures called {name!r}", remedy="Make them again.")
    return folder


def _title(file: Path) -> str:
    """The words of a file's name, without its number."""
    number, _, name = file.stem.partition("-")
    return name.replace("-", " ") if number.isdigit() and name else file.stem


def _stage(asked: Asked, title: str, pictures: list[tuple[str, str]], back: str) -> Response:
    return asked.show("matstage.html", title=title, pictures=pictures, back=back, **care_of(asked))


def _side(asked: Asked, name: str, unit: str) -> str:
    from tiler.web.lengths import as_written

    return as_written(asked.field(name), unit)


def _blamed(error: ProjectionError) -> str:
    """The field of the line that the error calls wrong; empty when it names none."""
    from tiler.layout.mats.lengths import SPOKEN

    found = [
        (at, key)
        for key, spoken in SPOKEN.items()
        if (at := error.problem.find(f"{spoken} is wrong")) >= 0
    ]
    return min(found)[1] if found else ""


def _facts(asked: Asked, mat: Mat, found: Measured | None = None) -> dict[str, Any]:
    from tiler.layout.mats.accuracy import accuracy_of
    from tiler.layout.mats.usable import usable_rectangle

    done = mat.corners is not None
    return {
        "mat": mat,
        "found": found,
        "lines": lines_of(mat),
        "accuracy": accuracy_of(mat) if done else None,
        "usable": usable_rectangle(mat) if done else None,
        "worst": max(found.residuals.items(), key=lambda pair: abs(pair[1])) if found else None,
        "garments": asked.library.keys(),
        **care_of(asked),
    }


routes = [
    Route("/mats", shelf),
    Route("/mats/new", make, methods=["POST"]),
    Route("/mats/{name}", one),
    Route("/mats/{name}/measure", measure, methods=["POST"]),
    Route("/mats/{name}/forget", forget, methods=["POST"]),
    Route("/mats/{name}/grid/{kind}", grid),
    Route("/mats/{name}/show", show_grid),
    Route("/p/{key}/windows/{set}", show_windows),
    Route("/p/{key}/windows/{set}/{name}", window),
]
