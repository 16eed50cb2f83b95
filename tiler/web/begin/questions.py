"""What the drawings do not say, asked with a picture of each piece; then the folder is written."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.responses import Response

from tiler.job.interview import Said
from tiler.pattern.errors import BlocksheetError, PatternError
from tiler.web.asking import Asked, answers, url
from tiler.web.begin.pages import MEMORY, SECONDS, at_home, free_key, pictures_of
from tiler.web.begin.photos import refused, show_photos
from tiler.web.glances import inline
from tiler.web.worker import apart

if TYPE_CHECKING:
    from tiler.job.interview import Interview

LAYS = ("fold", "pair", "copies")
#: What a refusal names -> the field that it is about.
_FIELDS = {
    "--title": "title",
    "--maker": "maker",
    "--cloth": "cloth",
    "--allowance": "allowance",
    "--traced": "traced",
}


@answers("begin")
def questions(asked: Asked) -> Response:
    """The questions; of photos that are not read yet, those that come before."""
    arrival = asked.state.incoming.get(asked.path["id"])
    if arrival.interview is None:
        return show_photos(asked, arrival)
    photos = arrival.photographed
    return asked.show(
        "beginask.html",
        arrival=arrival,
        found=arrival.interview,
        drawn=[inline(piece.picture) for piece in arrival.interview.pieces],
        lays=LAYS,
        photos=photos,
        pictures=[path.name for path in pictures_of(arrival)] if photos else [],
    )


@answers("begin")
def start(asked: Asked) -> Response:
    """Write the pattern folder, and go on to its table."""
    arrival = asked.state.incoming.get(asked.path["id"])
    if arrival.interview is None:
        return asked.go(url("begin", arrival.id))
    try:
        said = _said(asked, arrival.interview)
        key = free_key(asked, said.title)
        facts = {
            "sources": () if arrival.captured else arrival.files,
            "captured": arrival.captured,
            "folder": asked.library.new_folder(key),
            "said": said,
        }
        apart("tiler.web.begin.reading:written", facts, seconds=2 * SECONDS, memory=MEMORY)
    except BlocksheetError as error:
        return refused(asked, at_home(error, arrival), _field(error, arrival.interview))
    asked.state.incoming.gone(arrival)
    return asked.go(url("p", key, "table"))


@answers("begin")
def leave(asked: Asked) -> Response:
    """Give up what was given; its files on the way are removed."""
    arrival = asked.state.incoming.get(asked.path["id"])
    if arrival.work:
        asked.works.get(arrival.work).end()
    asked.state.incoming.gone(arrival)
    return asked.go("/begin")


def _said(asked: Asked, found: Interview) -> Said:
    title = asked.field("title")
    if not title:
        raise PatternError(
            "the pattern has no title yet", where="--title", remedy="Say what it is called."
        )
    allowance = asked.field("allowance") if found.allowance else ""
    try:
        width = asked.typed("allowance") if allowance else None
    except BlocksheetError as error:
        raise PatternError(error.problem, where="--allowance", remedy=error.remedy) from None
    return Said(
        title,
        asked.field("maker"),
        asked.field("traced"),
        width,
        asked.field("cloth"),
        tuple(
            (piece.name, words)
            for number, piece in enumerate(found.pieces)
            if not piece.cut and (words := _cut(asked, number))
        ),
    )


def _cut(asked: Asked, number: int) -> str:
    """How a piece is cut, in the words of the command; empty for later."""
    lay = asked.field(f"lay-{number}")
    if lay not in LAYS:
        return ""
    edge = asked.field(f"edge-{number}") if lay == "fold" else ""
    return f"{asked.field(f'count-{number}')} {lay} {edge}".strip()


def _field(error: BlocksheetError, found: Interview) -> str:
    names = {piece.name: f"piece-{number}" for number, piece in enumerate(found.pieces)}
    return names.get(error.where) or _FIELDS.get(error.where, "")
