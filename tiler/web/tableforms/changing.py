"""A form is done, undone, done again; and what the page then shows."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from starlette.responses import HTMLResponse, Response

from tiler.job import editing
from tiler.job.editing import ConflictError
from tiler.output.editing.changes import PieceNamed, Several
from tiler.pattern.errors import BlocksheetError, PatternError
from tiler.web.asking import Asked, answers, url
from tiler.web.tableforms import edgeforms, pieceforms
from tiler.web.tableforms.panel import Shown, rendered
from tiler.web.tableforms.typed import Typed

if TYPE_CHECKING:
    from pathlib import Path

    from tiler.job.editing import Edited
    from tiler.output.editing.change import Change

Builder = Callable[[Typed, str], "list[Change]"]

#: Name of a form -> what makes changes of it.
FORMS: dict[str, Builder] = {
    "edge": edgeforms.edge,
    "notch": lambda typed, piece: edgeforms.entry(typed, piece, "notch"),
    "dart": lambda typed, piece: edgeforms.entry(typed, piece, "dart"),
    "fisheye": lambda typed, piece: edgeforms.entry(typed, piece, "fisheye"),
    "mark": lambda typed, piece: edgeforms.entry(typed, piece, "mark"),
    "seam": lambda typed, piece: edgeforms.seam(typed),
    "piece": pieceforms.piece,
    "cuts": pieceforms.cuts,
    "whole": lambda typed, piece: pieceforms.whole(typed),
    "cloth": lambda typed, piece: pieceforms.cloth(typed),
    "style": lambda typed, piece: pieceforms.style(typed),
    "finished": lambda typed, piece: pieceforms.finished(typed),
    "group": lambda typed, piece: pieceforms.group(typed),
}


@answers("tableforms")
def edited(asked: Asked) -> Response:
    """Do what a form asks for."""
    key, piece = asked.path["key"], asked.field("piece")
    folder = asked.library.folder(key)
    typed = Typed(asked)
    # Who has seen a conflict and wants the own value says so with the version that was shown.
    based_on = asked.field("on_top_of") or asked.field("based_on")
    try:
        change = _change(asked, typed, piece)
        if change is None:
            return _answer(asked, key, piece)
        done = editing.edit(folder, change, based_on, asked.state.drafts(folder).draft)
    except ConflictError as conflict:
        return _conflict(asked, folder, typed, conflict)
    except BlocksheetError as error:
        return asked.refusal(error, at=_field(asked, typed))
    renamed = [each for each in change.changes if isinstance(each, PieceNamed)]
    if renamed:
        return asked.go(url("p", key, "table", renamed[-1].name))
    return _answer(asked, key, piece, done)


@answers("tableforms")
def undone(asked: Asked) -> Response:
    """Go back to what was before."""
    return _step(asked, editing.undo)


@answers("tableforms")
def redone(asked: Asked) -> Response:
    """Do again what was undone."""
    return _step(asked, editing.redo)


def _step(asked: Asked, step: Callable[[Path, str], Edited]) -> Response:
    key, piece = asked.path["key"], asked.field("piece")
    try:
        step(asked.library.folder(key), asked.field("based_on"))
    except ConflictError:
        return asked.show("tableformstale.html", 409, at="", **_again(asked))
    except BlocksheetError as error:
        return asked.refusal(error)
    names = [each["name"] for each in editing.opened(asked.library.folder(key)).said["piece"]]
    if piece not in names:
        # The undone change was the piece's new name.
        return asked.go(url("p", key, "table"))
    return _answer(asked, key, piece)


def _change(asked: Asked, typed: Typed, piece: str) -> Several | None:
    builder = FORMS.get(asked.field("form"))
    if builder is None:
        raise PatternError("there is no such form", remedy="Open the page again.")
    changes = builder(typed, piece)
    about = piece if asked.field("form") in ("edge", "piece") else asked.field("cloth")
    if asked.field("form") == "edge":
        about = asked.t("edge_of", piece=piece, letter=asked.field("edge"))
    return Several(about, tuple(changes)) if changes else None


def _answer(asked: Asked, key: str, piece: str, done: Edited | None = None) -> Response:
    """What the table shows; the panel and the history come behind it."""
    from tiler.web.table import parts

    shown = Shown.of_form(asked, piece)

    def panel() -> str:
        return rendered(asked, key, shown, merged=bool(done and done.merged))

    try:
        return asked.in_turn(parts(asked, key, piece), panel)
    except BlocksheetError as error:
        # What was gone back to may be a file that somebody spoilt by hand.
        return HTMLResponse(panel() + asked.render("trouble.html", error=error, at=""))


def _conflict(asked: Asked, folder: Path, typed: Typed, conflict: ConflictError) -> Response:
    return asked.show(
        "tableformconflict.html",
        409,
        conflict=conflict,
        at=_field(asked, typed),
        form=asked.field("of_form"),
        version=editing.version_of(folder),
        told=bool(conflict.mine or conflict.theirs),
        # An entry that is gone has left its number to another one.
        mine_can_be=bool(conflict.theirs or (conflict.mine and not asked.field("number"))),
        **_again(asked),
    )


def _again(asked: Asked) -> dict[str, object]:
    """Where the page gets the newest state from."""
    shown = Shown.of_form(asked, asked.field("piece"))
    return {
        "key": asked.path["key"],
        "look": f"{url('p', asked.path['key'], 'table', shown.piece, 'panel')}?{shown.query}&all=1",
    }


def _field(asked: Asked, typed: Typed) -> str:
    """The field that a refusal is shown beside: the first one that was changed."""
    form = asked.field("of_form")
    return (
        f"{form}-{typed.changed[0]}"
        if typed.changed
        else f"{form}-{asked.field('first_field', 'do')}"
    )
