"""Where a pattern begins: what can be given, and what becomes of it."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

from starlette.responses import FileResponse, Response

from tiler.job.interview import Interview
from tiler.job.opening import open_published
from tiler.job.shelving import copied, demos, name_for
from tiler.pattern.errors import BlocksheetError, FileError
from tiler.web.asking import Asked, answers, url
from tiler.web.begin.uploads import KINDS, endings, kind_of, stored
from tiler.web.glances import part_id
from tiler.web.worker import apart

if TYPE_CHECKING:
    from tiler.web.incoming import Arrival

#: Bounds on reading what was given.
SECONDS, MEMORY = 25.0, 3 * 2**29
_CARDS = ("a4", "letter")
_CARDS_SECONDS = 60.0


@answers("begin")
def begin(asked: Asked) -> Response:
    """The page."""
    from tiler.intake.photo.needs import missing_libraries

    _refuse_alone(asked)
    return asked.show(
        "begin.html",
        demos=[(demo, part_id(f"demo:{demo.name}")) for demo in demos()],
        endings=endings(),
        most_bytes=max(kind.all for kind in KINDS),
        no_photos=missing_libraries(),
        cards=_CARDS,
    )


@answers("begin")
def given(asked: Asked) -> Response:
    """Take in what was dropped or chosen."""
    _refuse_alone(asked)
    files = asked.files("files")
    try:
        kind = kind_of(files)
        if kind.name == "photos":
            from tiler.intake.photo.needs import refuse_without_libraries

            refuse_without_libraries()
        arrival = asked.state.incoming.arrive(kind.name)
    except BlocksheetError as error:
        return asked.refusal(error, at="files")
    try:
        arrival.files = stored(files, kind, arrival.folder)
        if kind.name == "published":
            return _open(asked, arrival)
        if kind.name == "drawings":
            arrival.interview = interviewed(arrival)
    except BlocksheetError as error:
        asked.state.incoming.gone(arrival)
        return asked.refusal(at_home(error, arrival), at="files")
    except BaseException:
        asked.state.incoming.gone(arrival)
        raise
    return asked.go(url("begin", arrival.id))


@answers("begin")
def demo(asked: Asked) -> Response:
    """Put a copy of one of ours on the shelf."""
    name = asked.field("name")
    titles = {demo.name: demo.title for demo in demos()}
    if name not in titles:
        raise FileError(f"there is no demo pattern called {name!r}")
    key = free_key(asked, titles[name])
    copied(Path(f"demo:{name}"), asked.library.new_folder(key))
    return asked.go(url("p", key, "table"))


@answers("begin")
def cards(asked: Asked) -> Response:
    """The target cards, made when they are asked for."""
    from tiler.job.targets import targets_name

    paper = asked.path["paper"]
    if paper not in _CARDS:
        raise FileError(f"there are no cards on {paper!r}", remedy="Go back and choose a paper.")
    arrival = asked.state.incoming.arrive("cards")
    try:
        target = arrival.folder / targets_name(paper)
        facts = {"paper": paper, "target": target}
        apart("tiler.web.begin.reading:cards", facts, seconds=_CARDS_SECONDS, memory=2 * MEMORY)
        content = target.read_bytes()
    finally:
        asked.state.incoming.gone(arrival)
    named = {"content-disposition": f'inline; filename="{target.name}"'}
    return Response(content, media_type="application/pdf", headers=named)


@answers("begin")
def picture(asked: Asked) -> Response:
    """A picture that reading photos has left."""
    arrival = asked.state.incoming.get(asked.path["id"])
    path = {found.name: found for found in pictures_of(arrival)}.get(asked.path["name"])
    if path is None:
        raise FileError("there is no such picture", remedy="Read the photos again.")
    return FileResponse(path, media_type="image/jpeg")


def pictures_of(arrival: Arrival) -> tuple[Path, ...]:
    """The pictures that reading its photos has left: of what was found, or of what was wrong."""
    found = arrival.captured
    inside = sorted(found.glob("capture*.jpg")) if found else []
    beside = [
        *arrival.folder.glob("captured-problem*.jpg"),
        *arrival.folder.glob("captured-faces*"),
    ]
    return tuple(path for path in (*inside, *sorted(beside)) if not path.is_symlink())


def interviewed(arrival: Arrival) -> Interview:
    """What to ask, read in a process of its own.

    Raises:
        BlocksheetError: It cannot be read, or not within bounds.
    """
    facts = {"sources": () if arrival.captured else arrival.files, "captured": arrival.captured}
    found = apart("tiler.web.begin.reading:interviewed", facts, seconds=SECONDS, memory=MEMORY)
    assert isinstance(found, Interview)
    return found


def free_key(asked: Asked, title: str) -> str:
    """The name of a new folder for a pattern of that title."""
    return name_for(title, asked.library.names())


def at_home(error: BlocksheetError, arrival: Arrival) -> BlocksheetError:
    """The error without the place where files lie for a while."""
    for place in (f"{arrival.folder}{os.sep}", str(arrival.folder)):
        error.problem = error.problem.replace(place, "")
        error.where = error.where.replace(place, "")
        error.remedy = error.remedy.replace(place, "")
    return error


def _open(asked: Asked, arrival: Arrival) -> Response:
    """A friend's file: a whole pattern, or a drawing about which there is something to ask."""
    out = arrival.folder / "opened"
    opened = open_published(arrival.files[0], out)
    if opened.pattern != out:
        arrival.kind, arrival.files = "drawings", (opened.pattern,)
        arrival.interview = interviewed(arrival)
        return asked.go(url("begin", arrival.id))
    facts = {"folder": out}
    apart("tiler.web.begin.reading:drafted", facts, seconds=2 * SECONDS, memory=MEMORY)
    key = free_key(asked, opened.title)
    try:
        out.rename(asked.library.new_folder(key))
    except OSError as error:
        raise FileError(
            f"it cannot be put on the shelf ({(error.strerror or str(error)).lower()})",
            where=key,
            remedy="Nothing was changed. Try again.",
        ) from error
    asked.state.incoming.gone(arrival)
    return asked.go(url("p", key, "table"))


def _refuse_alone(asked: Asked) -> None:
    if asked.library.alone:
        # Says why, and what to do.
        asked.library.new_folder("another")
