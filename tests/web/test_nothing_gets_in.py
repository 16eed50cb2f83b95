"""What strangers send to the port, and what they may have left in the library, does no harm.

Rules from outside: RFC 9110 and 9112 (requests), the Fetch standard and W3C Fetch Metadata (what
a browser says of who asks), W3C Content Security Policy 3 (sandbox), RFC 6265bis (a cookie goes to
every port of its host). From memory.
"""

from __future__ import annotations

import shutil
import signal
import socket
import time
from contextlib import ExitStack
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import quote

import pytest
from starlette.testclient import TestClient

from tests.web.door import Studio
from tests.web.tabs import PATTERN, trug

CHUNKED = "Transfer-Encoding: chunked\r\n\r\n"
#: Breaks out of text, attributes, and scripts, where it is not quoted.
SPITEFUL = "\"'><script>document.title='broken'</script><img src=x onerror=x>{n}%s</title>"


def said(studio: Studio, raw: str, patience: float = 5.0) -> bytes:
    """What comes back for the very bytes of a request."""
    port = int(studio.origin.rsplit(":", 1)[1])
    with socket.create_connection(("127.0.0.1", port), timeout=patience) as link:
        link.sendall(raw.encode("latin-1"))
        found = b""
        while part := link.recv(65536):
            found += part
        return found


def head(studio: Studio) -> dict[str, str]:
    """The lines of a head that our own page would send."""
    port = studio.origin.rsplit(":", 1)[1]
    return {
        "host": f"Host: 127.0.0.1:{port}\r\n",
        "cookie": f"Cookie: studio_{port}={studio.token}\r\n",
        "origin": f"Origin: {studio.origin}\r\n",
        "token": f"X-Studio-Token: {studio.token}\r\n",
        "end": "Connection: close\r\n\r\n",
    }


def test_odd_requests_get_a_plain_refusal_and_the_studio_goes_on(served: Studio) -> None:
    own = head(served)
    host, cookie, end = own["host"], own["cookie"], own["end"]
    write = f"POST /settings HTTP/1.1\r\n{host}{cookie}{own['origin']}{own['token']}"
    cases: dict[str, tuple[int, ...]] = {
        f"GET / HTTP/1.0\r\n{cookie}\r\n": (403,),
        f"GET / HTTP/1.1\r\n{host}{host}{cookie}{end}": (400, 403),
        f"GET / HTTP/1.1\r\n{host.strip()}\r\n evil.example\r\n{cookie}{end}": (400, 403),
        f"GET / HTTP/1.1\r\n{host.replace('127.0.0.1', 'x@127.0.0.1')}{cookie}{end}": (403,),
        f"GET / HTTP/1.1\r\n{host.replace('127.0.0.1', 'localhost.')}{cookie}{end}": (403,),
        f"GET http://evil.example/ HTTP/1.1\r\n{host}{cookie}{end}": (400, 403, 404),
        f"OPTIONS / HTTP/1.1\r\n{host}{cookie}{end}": (403, 405),
        f"TRACE / HTTP/1.1\r\n{host}{cookie}{own['origin']}{own['token']}{end}": (403, 405),
        f"PUT / HTTP/1.1\r\n{host}{cookie}{own['origin']}{own['token']}{end}": (403, 405),
        f"{write}{own['origin']}Content-Length: 0\r\n{end}": (400, 403),
        f"{write}Content-Length: many\r\n{end}": (400, 403),
        f"{write}Content-Length: -1\r\n{end}": (400, 403),
        f"{write}Content-Length: {'9' * 5000}\r\n{end}": (400, 403),
        f"{write}Content-Length: {10**19}\r\n{end}": (400, 403),
        f"{write}Content-Length: 0\r\nContent-Length: 9\r\n{end}": (400, 403),
        f"{write}Transfer-Encoding: chunked\r\n{end}zz\r\n\r\n": (400,),
        f"{write}Content-Type: multipart/form-data\r\nContent-Length: 1\r\n{end}x": (400, 413, 422),
        f"GET / HTTP/1.1\r\n{host}{cookie}X: {'x' * 100_000}\r\n{end}": (200, 400, 431),
        f"GET /p/%00%c0%ae%ed%a0%80/table HTTP/1.1\r\n{host}{cookie}{end}": (404,),
        f"GET /p/..\\..\\x/table HTTP/1.1\r\n{host}{cookie}{end}": (404,),
        f"GET /static/../../../etc/passwd HTTP/1.1\r\n{host}{cookie}{end}": (404,),
        f"GET /open?token=%ff%ed%a0%80 HTTP/1.1\r\n{host}{end}": (403,),
        f'GET / HTTP/1.1\r\n{host}Cookie: a="\\777"; (=;;; {cookie[8:]}{end}': (200, 403),
    }
    for raw, allowed in cases.items():
        answer = said(served, raw)
        status = int(answer.split(None, 2)[1])
        assert status in allowed, (raw[:300], answer[:300])
        assert served.token.encode() not in answer or status in (200, 404)
        assert b"Traceback" not in answer
    upgrade = "Connection: Upgrade, close\r\nUpgrade: websocket\r\nSec-WebSocket-Version: 13\r\n"
    assert b" 101 " not in said(served, f"GET / HTTP/1.1\r\n{host}{cookie}{upgrade}\r\n")
    second = f"GET / HTTP/1.1\r\nHost: evil.example\r\n{cookie}{end}"
    both = said(served, f"GET /static/mark.svg HTTP/1.1\r\n{host}{cookie}\r\n{second}")
    assert b"HTTP/1.1 200" in both
    assert b"HTTP/1.1 403" in both
    assert served.ask("/")[0] == 200


def test_those_who_dawdle_stop_nobody_and_the_studio_ends_in_time_and_quietly(
    library: Path,
) -> None:
    trug(library)
    with ExitStack() as left, Studio(library) as served:
        own = head(served)
        port = int(served.origin.rsplit(":", 1)[1])
        start = f"POST /settings HTTP/1.1\r\n{own['host']}{own['cookie']}{own['origin']}"
        start += f"{own['token']}Content-Type: application/x-www-form-urlencoded\r\n"
        slow = ("GET / HT", f"{start}Content-Length: 999\r\n\r\na", f"{start}{CHUNKED}1\r\na\r\n")
        for number in range(60):
            link = left.enter_context(socket.create_connection(("127.0.0.1", port)))
            link.sendall(slow[number % 3].encode())
            if number % 9 == 4:
                link.close()
        assert served.ask("/p/trug/table/Pot%20band")[0] == 200
        assert served.process
        assert served.process.stdout
        began = time.monotonic()
        served.process.send_signal(signal.SIGINT)
        assert served.process.wait(timeout=20) == 0
        assert time.monotonic() - began < 10
        told = served.process.stdout.read()
    assert "Traceback" not in told
    assert "closed" in told
    assert served.token not in told.partition("It stops")[2]


@pytest.mark.parametrize(
    ("site", "mode", "dest", "status"),
    [
        ("same-origin", "cors", "empty", 200),
        ("none", "navigate", "document", 200),
        # A link on a page of another port leads here; its frames, scripts and fetches do not.
        ("same-site", "navigate", "document", 200),
        ("same-site", "navigate", "iframe", 403),
        ("same-site", "no-cors", "script", 403),
        ("same-site", "no-cors", "image", 403),
        ("cross-site", "no-cors", "empty", 403),
    ],
)
def test_a_page_on_another_port_of_this_computer_reads_nothing(
    studio: TestClient, site: str, mode: str, dest: str, status: int
) -> None:
    """It is of the same site, so the browser sends it the cookie's way (RFC 6265bis)."""
    asks = {"sec-fetch-site": site, "sec-fetch-mode": mode, "sec-fetch-dest": dest}
    assert studio.get("/static/shell.js", headers=asks).status_code == status


def test_what_lies_in_the_library_is_handed_out_shut_in(studio: TestClient, library: Path) -> None:
    """Nothing there is a script for the browser, and a drawing with one is alone in its sandbox."""
    sheets = trug(library) / "sheets"
    sheets.mkdir()
    for name in ("a.svg", "a.html", "a.js", "a.xhtml", "a.mjs", "a", "a.pdf"):
        (sheets / name).write_text("<svg xmlns='http://www.w3.org/2000/svg'/>")
        answer = studio.get(f"/p/trug/made/sheets/{name}?show")
        kind, policy = answer.headers["content-type"], answer.headers["content-security-policy"]
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert "javascript" not in kind
        shown = answer.headers["content-disposition"].startswith("inline")
        assert shown == (name in ("a.svg", "a.pdf"))
        if name != "a.pdf":
            assert "sandbox" in policy
            assert "'self'" not in policy


def test_nothing_is_put_where_a_link_leads_out(
    studio: TestClient, library: Path, tmp_path: Path
) -> None:
    folder, outside = trug(library), tmp_path / "outside"
    outside.mkdir()
    (outside / "x.pdf").write_bytes(b"secret")
    (folder / "sheets").symlink_to(outside)
    for path in ("handover/export", "handover/give", "handover/notes", "printer/publish"):
        answer = studio.post(f"/p/trug/{path}", data={"paper": "a4", "form": "dxf"})
        assert answer.status_code == 422, path
    assert studio.get("/p/trug/made/sheets/x.pdf").status_code in (404, 422)
    assert [path.name for path in outside.iterdir()] == ["x.pdf"]
    moved = tmp_path / "moved.toml"
    shutil.move(folder / "pattern.toml", moved)
    (folder / "pattern.toml").symlink_to(moved)
    assert studio.get("/p/trug/table").status_code in (404, 422)
    (folder / "pattern.toml").unlink()
    for drawing in ("../../moved.toml", str(moved), "link.svg"):
        text = PATTERN.replace("band.svg", drawing.replace("\\", "/"))
        (folder / "pattern.toml").write_text(text)
        (folder / "link.svg").unlink(missing_ok=True)
        (folder / "link.svg").symlink_to(moved)
        page = studio.get("/p/trug/table")
        assert page.status_code in (404, 422)
        assert "Trug cover" not in page.text


class Tags(HTMLParser):
    """What a browser would make of a page: its elements, and their attributes."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.bad: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note what is none of ours."""
        about = dict(attrs)
        inline = tag == "script" and not (about.get("src") or "").startswith("/static/")
        if inline or about.get("src") == "x" or any(name.startswith("on") for name in about):
            self.bad.append(f"{tag} {attrs}")


def spiteful(library: Path) -> str:
    """A pattern whose every name and text means harm; returns its folder's name."""
    words = SPITEFUL.replace('"', '\\"')
    text = PATTERN.replace("Trug cover", words).replace("Pot band", words)
    text = text.replace('main = "Sacking"', f'main = "{words}"')
    head_of, _, rest = text.partition("[cloth]")
    more = f'maker = "{words}"\nabout = "{words}"\nversion = "{words}"\nnotions = ["{words}"]\n'
    more += f'licence = ["{words}"]\nsewing = ["{words}"]\n'
    rest = rest.replace(
        'drawing = "band.svg"\n',
        f'drawing = "band.svg"\nnames = {{ A = "{words}" }}\nnotes = ["{words}"]\n'
        f'notches = [{{ edge = "A", at = "50 %" }}]\n',
    )
    rest += f'\n[[seam]]\nname = "{words}"\njoin = ["Trug flap.A", "Trug flap.C"]\n'
    rest += f'\n[finished]\n"{words}" = "100 mm"\n'
    key = "<img src=x onerror=x>'\"&"
    trug(library).rename(library / key)
    (library / key / "pattern.toml").write_text(f"{head_of}{more}\n[cloth]{rest}", "utf-8")
    (library / key / "sheets").mkdir()
    (library / key / "sheets" / "<img src=x onerror=x>.pdf").write_bytes(b"%PDF-1.7")
    return key


def test_names_and_texts_stay_words_on_every_page(studio: TestClient, library: Path) -> None:
    key = quote(spiteful(library), safe="")
    piece = quote(" ".join(SPITEFUL.split()), safe="")
    table = f"/p/{key}/table/{piece}"
    for path in (
        "/",
        f"/p/{key}/picture",
        table,
        f"{table}/parts",
        f"{table}/findings",
        f"{table}/panel?edge=A",
        f"{table}/panel?show=piece",
        f"{table}/panel?show=pattern",
        f"/p/{key}/printer",
        f"/p/{key}/cloth",
        f"/p/{key}/handover",
        f"/scale?for={key}",
        f"/p/{piece}/table",
        f"/mats/{piece}",
        f"/begin/{piece}",
    ):
        answer = studio.get(path)
        assert answer.status_code in (200, 404, 422), (path, answer.text[:500])
        assert Tags(answer.text).bad == [], path
        assert "document.title" not in answer.text or "&lt;script&gt;" in answer.text, path
