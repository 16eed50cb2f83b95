"""Only the browser that the studio has opened gets in, and nothing of other sites runs there.

What a page elsewhere can send, and what it cannot, is laid down by the Fetch standard (forbidden
request headers: Host, Origin) and RFC 6265bis (SameSite).
"""

from __future__ import annotations

import http.client
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from tests.web.door import ORIGIN, PORT, Studio
from tiler.web.app import build
from tiler.web.guard import POLICY
from tiler.web.state import State

COOKIE = f"studio_{PORT}"


def stranger(state: State, **headers: str) -> TestClient:
    return TestClient(build(state, PORT), base_url=ORIGIN, headers=headers)


def test_the_address_that_was_printed_lets_one_in_and_takes_the_token_out_of_sight(
    state: State,
) -> None:
    client = stranger(state)
    answer = client.get("/open", params={"token": state.token}, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/")
    cookie = answer.headers["set-cookie"].lower()
    assert "httponly" in cookie
    assert "samesite=strict" in cookie
    assert client.get("/").status_code == 200


@pytest.mark.parametrize(
    "path", ["/", "/open", "/open?token=", "/open?token=x", "/static/base.css"]
)
def test_without_the_token_nobody_gets_in(state: State, path: str) -> None:
    answer = stranger(state).get(path, follow_redirects=False)
    assert answer.status_code == 403
    assert state.token not in answer.text


@pytest.mark.parametrize(
    "host",
    [
        "blocksheet.example",
        f"blocksheet.example:{PORT}",
        "127.0.0.1",
        "127.0.0.1:1",
        "localhost",
        "",
    ],
)
def test_a_foreign_host_is_refused_though_it_knows_the_token(state: State, host: str) -> None:
    """A name elsewhere can be made to lead to this computer (DNS rebinding)."""
    client = stranger(state, host=host)
    client.cookies.set(COOKIE, state.token)
    assert client.get("/").status_code == 403
    opened = client.get("/open", params={"token": state.token}, follow_redirects=False)
    assert opened.status_code == 403


@pytest.mark.parametrize("origin", ["http://blocksheet.example", "null", "http://127.0.0.1:1", ""])
@pytest.mark.parametrize("method", ["GET", "POST"])
def test_a_foreign_origin_is_refused_though_it_knows_the_token(
    state: State, method: str, origin: str
) -> None:
    client = stranger(state, origin=origin, **{"x-studio-token": state.token})
    client.cookies.set(COOKIE, state.token)
    assert client.request(method, "/settings").status_code == 403


def test_a_write_needs_the_token_in_a_header_that_forms_of_other_sites_cannot_set(
    state: State,
) -> None:
    client = stranger(state, origin=ORIGIN)
    client.cookies.set(COOKIE, state.token)
    assert client.post("/settings", data={"language": "de"}).status_code == 403
    wrong = client.post("/settings", data={}, headers={"x-studio-token": "x"})
    assert wrong.status_code == 403
    right = client.post("/settings", data={}, headers={"x-studio-token": state.token})
    assert right.status_code == 204


def test_a_write_without_an_origin_is_refused(state: State) -> None:
    client = stranger(state, **{"x-studio-token": state.token})
    client.cookies.set(COOKIE, state.token)
    assert client.post("/settings", data={}).status_code == 403


def test_two_hosts_in_one_request_are_refused(smock: Path) -> None:
    with Studio(smock.parent) as served:
        port = int(served.origin.rsplit(":", 1)[1])
        asking = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
        asking.putrequest("GET", "/", skip_host=True)
        asking.putheader("Host", f"127.0.0.1:{port}")
        asking.putheader("Host", "blocksheet.example")
        asking.putheader("Cookie", f"studio_{port}={served.token}")
        asking.endheaders()
        assert asking.getresponse().status in (400, 403)
        asking.close()


def test_every_answer_says_that_nothing_comes_from_elsewhere(studio: TestClient) -> None:
    for path in ("/", "/static/shell.js", "/nothing-there"):
        headers = studio.get(path).headers
        assert headers["content-security-policy"] == POLICY
        assert headers["x-content-type-options"] == "nosniff"
        assert headers["referrer-policy"] == "no-referrer"
    assert "unsafe" not in POLICY
    assert "*" not in POLICY


def test_a_body_that_is_too_long_is_refused(state: State, studio: TestClient) -> None:
    answer = studio.post("/settings", content=b"x", headers={"content-length": str(2**40)})
    assert answer.status_code == 403


def test_a_body_without_a_length_ends_where_it_would_be_too_long(
    studio: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tiler.web.guard.MOST_BYTES", 1000)
    parts = (b"language=" + b"x" * 400 for _ in range(5))
    kind = {"content-type": "application/x-www-form-urlencoded"}
    assert studio.post("/settings", content=parts, headers=kind).status_code == 413


@pytest.mark.parametrize(
    "path",
    [
        "/p/..%2f..%2fetc/made/sheets/passwd",
        "/p/smock/made/sheets/..%2fpattern.toml",
        "/p/smock/made/..%2f/pattern.toml",
        "/p/smock/made/./pattern.toml",
        "/p/%2e%2e/made/sheets/x",
        "/static/..%2f..%2fapp.py",
        "/static/%2e%2e/app.py",
    ],
)
def test_no_path_leads_out_of_the_folder(smock: Path, studio: TestClient, path: str) -> None:
    assert (smock / "pattern.toml").is_file()
    answer = studio.get(path)
    assert answer.status_code in (403, 404, 422)
    assert "title =" not in answer.text
    assert "import" not in answer.text


def test_a_link_out_of_the_library_is_not_followed(
    smock: Path, studio: TestClient, tmp_path: Path
) -> None:
    (tmp_path / "secret.pdf").write_bytes(b"secret")
    (smock / "sheets").mkdir()
    (smock / "sheets" / "out.pdf").symlink_to(tmp_path / "secret.pdf")
    (smock.parent / "linked").symlink_to(smock)
    assert studio.get("/p/smock/made/sheets/out.pdf").status_code in (404, 422)
    assert "linked" not in studio.get("/").text
