"""Tabs of a browser on one studio, and a small pattern for them to change at the same time."""

from __future__ import annotations

import http.client
import re
from contextlib import closing
from html import unescape
from pathlib import Path
from urllib.parse import quote, urlencode

PIECES = ("Pot band", "Trug flap")
EDGES = "ABCD"
#: Every remark is there to be lost.
PATTERN = """\
# Traced in the potting shed.
title = "Trug cover"   # for the open day
allowance = "10 mm"    # all round
traced = "stitch"

[cloth]
main = "Sacking"

[[piece]]
name = "Pot band"  # the long one
drawing = "band.svg"
cut = { count = 1, cloth = "main", lay = "copies" }
allowances = { A = "11 mm", B = "11 mm", C = "11 mm", D = "11 mm" }  # by edge

[[piece]]
name = "Trug flap"
drawing = "flap.svg"
cut = { count = 2, cloth = "main", lay = "copies" }
allowances = { A = "11 mm", B = "11 mm", C = "11 mm", D = "11 mm" }
# The end.
"""
_BASED_ON = re.compile(r'name="based_on" value="(\w+)"')


def trug(library: Path) -> Path:
    """A pattern of two rectangles, in the library under its own name."""
    folder = library / "trug"
    folder.mkdir()
    (folder / "pattern.toml").write_text(PATTERN, "utf-8")
    for name, width, height in (("band", 200, 60), ("flap", 90, 70)):
        (folder / f"{name}.svg").write_text(
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{width + 40}mm" '
            f'height="{height + 40}mm" viewBox="0 0 {width + 40} {height + 40}">'
            f'<path fill="none" stroke="black" d="M20,20h{width}v{height}h-{width}z"/></svg>',
            "utf-8",
        )
    return folder


class Tab:
    """A page that is open on a pattern; it knows the file as it was when it looked last.

    Args:
        origin: Where the studio listens.
        token: Of its run.
        key: Name of the pattern's folder.
    """

    def __init__(self, origin: str, token: str, key: str = "trug") -> None:
        self.key = key
        self._place = origin.removeprefix("http://")
        self._headers = {
            "Cookie": f"studio_{origin.rsplit(':', 1)[1]}={token}",
            "Origin": origin,
            "X-Studio-Token": token,
            "X-Studio-Part": "1",
            "Content-Type": "application/x-www-form-urlencoded",
        }
        self.version = ""

    def look(self, piece: str = PIECES[0]) -> str:
        """Load the forms anew."""
        status, page = self._ask("GET", f"/p/{self.key}/table/{quote(piece)}/panel?edge=A")
        assert status == 200, page
        return self._seen(page)

    def widen(self, piece: str, edge: str, width: str, was: str = "-") -> tuple[int, str]:
        """Give an edge another allowance."""
        return self._post(
            "edit",
            form="edge",
            of_form="edge",
            edge=edge,
            piece=piece,
            panel=f"show=edge&edge={edge}",
            allowance=width,
            **{"was.allowance": was},
        )

    def everywhere(self, width: str) -> tuple[int, str]:
        """Give the whole pattern another allowance."""
        return self._post(
            "edit",
            form="whole",
            of_form="whole",
            piece=PIECES[0],
            panel="show=pattern",
            allowance=width,
            **{"was.allowance": "-"},
        )

    def step(self, way: str) -> tuple[int, str]:
        """Undo or redo."""
        return self._post(way, piece=PIECES[0], panel="show=piece")

    def _post(self, path: str, **fields: str) -> tuple[int, str]:
        body = urlencode({**fields, "based_on": self.version})
        status, page = self._ask("POST", f"/p/{self.key}/{path}", body)
        if status == 200:
            self._seen(page)
        return status, unescape(page)

    def _ask(self, method: str, path: str, body: str | None = None) -> tuple[int, str]:
        with closing(http.client.HTTPConnection(self._place, timeout=60)) as link:
            link.request(method, path, body, self._headers)
            answer = link.getresponse()
            return answer.status, answer.read().decode()

    def _seen(self, page: str) -> str:
        found = _BASED_ON.search(page)
        assert found, page[:2000]
        self.version = found[1]
        return page
