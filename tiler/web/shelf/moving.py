"""Copies, names, and what is put away; nothing is deleted."""

from __future__ import annotations

from starlette.responses import Response

from tiler.job.shelving import (
    copied,
    refuse_name,
    renamed,
    taken_back,
)
from tiler.job.shelving import (
    put_away as put_pattern_away,
)
from tiler.pattern.errors import BlocksheetError, FileError
from tiler.web.asking import Asked, answers
from tiler.web.shelf.pages import on_shelf


@answers("shelf")
def copy(asked: Asked) -> Response:
    """A copy of a pattern under another name."""
    key, name = asked.path["key"], asked.field("name")
    source = asked.library.folder(key)
    try:
        refuse_name(name)
        copied(source, asked.library.new_folder(name))
    except BlocksheetError as error:
        return asked.refusal(error, at=asked.field("at"))
    return _changed(asked, "copied", name=name)


@answers("shelf")
def rename(asked: Asked) -> Response:
    """Another name for a folder."""
    key, name = asked.path["key"], asked.field("name")
    folder = asked.library.folder(key)
    _refuse_alone(asked)
    try:
        refuse_name(name)
        renamed(folder, asked.library.root / name)
    except BlocksheetError as error:
        return asked.refusal(error, at=asked.field("at"))
    return _changed(asked, "renamed", name=name)


@answers("shelf")
def put_away(asked: Asked) -> Response:
    """Out of the way, into a folder beside the others."""
    _refuse_alone(asked)
    moved = put_pattern_away(asked.library.folder(asked.path["key"]))
    return _changed(asked, "put_away_done", name=moved.name, back=moved.name)


@answers("shelf")
def take_back(asked: Asked) -> Response:
    """On the shelf again."""
    _refuse_alone(asked)
    back = taken_back(asked.library.root, asked.field("name"))
    return _changed(asked, "taken_back", name=back.name)


def _changed(asked: Asked, words: str, name: str, back: str = "") -> Response:
    news = asked.t(words, name=name)
    return asked.show("shelfparts.html", news=news, back=back, **on_shelf(asked))


def _refuse_alone(asked: Asked) -> None:
    if asked.library.alone:
        raise FileError(
            "this pattern is the only one of the studio",
            where=str(asked.library.root),
            remedy="Start the studio with the folder above it.",
        )
