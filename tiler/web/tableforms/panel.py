"""The part `#panel`: the forms for what is chosen on the table."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import parse_qsl, urlencode

from starlette.responses import HTMLResponse, Response

from tiler.job import editing
from tiler.pattern.errors import BlocksheetError
from tiler.web.asking import Asked, answers
from tiler.web.tableforms.edgefacts import edge_facts
from tiler.web.tableforms.piecefacts import piece_facts, whole_facts
from tiler.web.tableforms.typed import bare, other_unit

#: What can be asked for beside an edge.
_THINGS = ("notch", "dart", "mark")
_SHOWS = ("edge", "piece", "pattern")


@dataclass(frozen=True)
class Shown:
    """What the panel is about.

    Args:
        piece: Name of the piece on the table.
        show: edge, piece or pattern.
        edge: Letter of the edge that is chosen; empty for none.
        thing: notch, dart or mark, when one is chosen; else empty.
        number: Of that thing, as the picture counts.
    """

    piece: str
    show: str = "piece"
    edge: str = ""
    thing: str = ""
    number: int = 0

    @classmethod
    def of_query(cls, piece: str, asked: dict[str, str]) -> Shown:
        """From the part of an address behind the question mark."""
        thing = next((each for each in _THINGS if asked.get(each, "").isdecimal()), "")
        edge = asked.get("edge", "")[:4].upper()
        show = asked.get("show", "") or ("edge" if edge or thing else "piece")
        if "pattern" in asked or "seam" in asked:
            show = "pattern"
        number = int(asked[thing][:4]) if thing else 0
        return cls(piece, show if show in _SHOWS else "piece", edge, thing, number)

    @classmethod
    def of_form(cls, asked: Asked, piece: str) -> Shown:
        """From the hidden field that every form carries."""
        return cls.of_query(piece, dict(parse_qsl(asked.field("panel"))))

    @property
    def query(self) -> str:
        """The same as part of an address."""
        thing = {self.thing: str(self.number)} if self.thing else {}
        edge = {"edge": self.edge} if self.edge else {}
        return urlencode({"show": self.show, **edge, **thing})


@answers("tableforms")
def panel(asked: Asked) -> Response:
    """The forms, and what can be undone; with ``all`` also what the table shows."""
    from tiler.web.table import parts

    key, piece = asked.path["key"], asked.path["piece"]
    shown = Shown.of_query(piece, dict(asked.request.query_params))
    words = rendered(asked, key, shown)
    return HTMLResponse(words + parts(asked, key, piece) if asked.query("all") else words)


def rendered(asked: Asked, key: str, shown: Shown, *, merged: bool = False) -> str:
    """The parts `#panel` and `#history`.

    Raises:
        FileError: The pattern file cannot be read.
    """
    folder = asked.library.folder(key)
    opened = editing.opened(folder)
    facts: dict[str, object] = {
        "key": key,
        "version": opened.version,
        "history": editing.history(folder, asked.settings.language),
        "shown": shown,
        "merged": merged,
        "unit": asked.settings.units,
        "bare": bare,
        "other_unit": other_unit,
    }
    try:
        pattern = asked.pattern(key)
        piece = next(each for each in pattern.pieces if each.name == shown.piece)
        said = next(
            each for each in opened.said["piece"] if " ".join(each["name"].split()) == shown.piece
        )
    except BlocksheetError as error:
        return asked.render("tableform.html", error=error, **facts)
    except StopIteration:
        return asked.render("tableform.html", error=None, gone=True, **facts)
    facts |= {"pattern": pattern, "piece": piece, "said": said, "file": opened.said}
    if shown.show == "edge":
        facts |= edge_facts(asked, pattern, piece, opened.said, said, shown)
    elif shown.show == "piece":
        facts |= piece_facts(asked, pattern, piece, opened.said, said, shown)
    else:
        facts |= whole_facts(asked, pattern, opened.said)
    return asked.render("tableform.html", error=None, gone=False, **facts)
