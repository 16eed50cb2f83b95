"""The table's addresses."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.responses import HTMLResponse, Response

from tiler.pattern.errors import BlocksheetError, PatternError
from tiler.pattern.model import Role
from tiler.web.asking import Asked, answers
from tiler.web.table.checked import checked
from tiler.web.table.lately import drafted_or_last
from tiler.web.table.rows import edge_rows, thing_rows

if TYPE_CHECKING:
    from tiler.pattern.model import Pattern, Piece


@answers("table")
def first(asked: Asked) -> Response:
    """The pattern's first piece."""
    key = asked.path["key"]
    pattern, error = drafted_or_last(asked, key)
    return _page(asked, key, pattern, pattern.pieces[0], error)


@answers("table")
def piece(asked: Asked) -> Response:
    """One piece."""
    key = asked.path["key"]
    pattern, error = drafted_or_last(asked, key)
    return _page(asked, key, pattern, _named(pattern, asked.path["piece"]), error)


@answers("table")
def piece_parts(asked: Asked) -> Response:
    """The picture and the lengths; nothing when they are still those of `?of=`."""
    key, name = asked.path["key"], asked.path["piece"]
    pattern = asked.pattern(key)
    if asked.query("of") == pattern.digest:
        return Response(status_code=204)
    return HTMLResponse(_parts(asked, key, pattern, _named(pattern, name)))


@answers("table")
def findings(asked: Asked) -> Response:
    """What takes longer: the bench check, the seams as they were walked, all pieces small."""
    key = asked.path["key"]
    pattern = asked.pattern(key)
    shown = _named(pattern, asked.path["piece"])
    inspection = asked.state.drafts(asked.library.folder(key)).inspect(pattern)
    text = asked.render(
        "table_checked.html",
        key=key,
        piece=shown,
        pattern=pattern,
        small=small_pictures(pattern),
        **checked(pattern, shown, inspection),
    )
    return HTMLResponse(text)


def parts(asked: Asked, key: str, piece: str) -> str:
    """The parts of the table that a change redraws at once: `#picture` and `#lengths`.

    The page asks for `#findings` and what else takes longer by itself, as soon as these are seen.

    Args:
        asked: The request that made the change.
        key: The pattern.
        piece: Name of the piece that is shown.

    Raises:
        BlocksheetError: The pattern does not hold together, or has no such piece.
    """
    pattern, error = drafted_or_last(asked, key)
    if error is not None:
        raise error
    return _parts(asked, key, pattern, _named(pattern, piece))


def small_pictures(pattern: Pattern) -> dict[str, str]:
    """Every piece as a thumbnail."""
    from tiler.output.svg import screen_svg
    from tiler.sheets.benchpiecesmall import draw_small_piece

    return {each.name: screen_svg(draw_small_piece(each), "small") for each in pattern.pieces}


def _page(
    asked: Asked, key: str, pattern: Pattern, shown: Piece, error: BlocksheetError | None
) -> Response:
    """The whole page, with the last picture that held where the pattern does not any more."""
    text = asked.render(
        "table.html",
        key=key,
        title=pattern.title,
        error=error,
        small=small_pictures(pattern),
        styles=[name for name, _ in pattern.styles if name in shown.styles],
        about=dict(pattern.styles),
        **_facts(asked, pattern, shown),
    )
    return HTMLResponse(text)


def _parts(asked: Asked, key: str, pattern: Pattern, shown: Piece) -> str:
    # The forms that change things speak with words of their own; these parts speak the table's.
    own = Asked(asked.request, asked.form, "table")
    return own.render("table_parts.html", key=key, error=None, **_facts(own, pattern, shown))


def _facts(asked: Asked, pattern: Pattern, shown: Piece) -> dict[str, object]:
    from tiler.output.svg import screen_svg
    from tiler.sheets.benchpiece import draw_benchpiece

    things = thing_rows(shown)
    drawing = draw_benchpiece(shown, pattern, asked.length, asked.t("fold"))
    return {
        "pattern": pattern,
        "piece": shown,
        "cut_known": shown.outlines[0].role is Role.CUT,
        "picture": screen_svg(drawing, "piece"),
        "edges": edge_rows(shown, pattern, things),
        "things": things,
    }


def _named(pattern: Pattern, name: str) -> Piece:
    for each in pattern.pieces:
        if each.name == name:
            return each
    raise PatternError(
        f"there is no piece called {name!r}",
        where=pattern.title,
        remedy=f"The pieces are: {', '.join(each.name for each in pattern.pieces)}.",
    )
