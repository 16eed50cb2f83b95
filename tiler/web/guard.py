"""Who is let in: this computer, this run, and pages of our own."""

from __future__ import annotations

import secrets
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse, RedirectResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

#: Most bytes of one request; photos of tracings are the largest things that come in.
MOST_BYTES = 120 * 1024 * 1024
_READING = ("GET", "HEAD")
_REFUSED = (
    "Refused: this page was not opened by the studio that runs here.\n"
    "Open the address that the command has printed, or start the studio again.\n"
)
#: Nothing comes from elsewhere, nothing runs but our own files (W3C Content Security Policy 3).
POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob: data:",
        "font-src 'self'",
        "connect-src 'self'",
        "form-action 'self'",
        "frame-src 'self'",
        "frame-ancestors 'self'",
        "base-uri 'none'",
    )
)
_HEADERS = {
    "content-security-policy": POLICY,
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "referrer-policy": "no-referrer",
    "x-content-type-options": "nosniff",
    "cache-control": "no-store",
}


class Guard:
    """Lets a request through, or refuses it before anything else has seen it.

    A page of another site can send requests to this computer, but cannot set Host or Origin, nor
    read the token (Fetch standard, "forbidden request-header").

    Args:
        app: What lies behind it.
        token: Made anew for each run.
        port: Where the server listens.
    """

    def __init__(self, app: ASGIApp, token: str, port: int) -> None:
        self.app, self.token, self.port = app, token, port
        self.hosts = {f"127.0.0.1:{port}", f"localhost:{port}"}
        self.cookie = f"studio_{port}"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request; connections that are no requests are closed."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        headers, method = Headers(scope=scope), scope["method"]
        if scope["path"] == "/open" and method == "GET" and self._from_here(headers, method):
            token = parse_qs(scope["query_string"].decode("latin-1")).get("token", [""])[0]
            if self._same(token):
                await self._opened()(scope, receive, _with_headers(send))
                return
        elif self._let_in(headers, method):
            await self.app(scope, _bounded(receive), _with_headers(send))
            return
        await PlainTextResponse(_REFUSED, 403)(scope, receive, _with_headers(send))

    def _let_in(self, headers: Headers, method: str) -> bool:
        if not self._from_here(headers, method) or not self._same(self._cookie(headers)):
            return False
        if not self._short(headers.get("content-length", "0")):
            return False
        if method in _READING:
            return self._asked_by_us(headers)
        return self._same(headers.get("x-studio-token", ""))

    def _from_here(self, headers: Headers, method: str) -> bool:
        if headers.getlist("host") not in [[host] for host in self.hosts]:
            return False
        origins = headers.getlist("origin")
        if not origins:
            # Browsers send it with every request that may change something.
            return method in _READING
        return len(origins) == 1 and origins[0] in {f"http://{host}" for host in self.hosts}

    def _short(self, length: str) -> bool:
        """Whether a body has a length that can be taken; one of many digits has none."""
        return length.isascii() and length.isdecimal() and int(length[:20]) <= MOST_BYTES

    def _asked_by_us(self, headers: Headers) -> bool:
        """Whether a page of another port of this computer has no hand in it.

        It is of the same site, so the cookie comes along (RFC 6265bis); it may lead the user here,
        and no more (W3C, Fetch Metadata Request Headers).
        """
        if headers.get("sec-fetch-site", "none") in ("same-origin", "none"):
            return True
        return (headers.get("sec-fetch-mode"), headers.get("sec-fetch-dest")) == (
            "navigate",
            "document",
        )

    def _cookie(self, headers: Headers) -> str:
        try:
            found = SimpleCookie(headers.get("cookie", "")).get(self.cookie)
        except CookieError:
            return ""
        return found.value if found else ""

    def _same(self, token: str) -> bool:
        return secrets.compare_digest(token.encode(), self.token.encode())

    def _opened(self) -> RedirectResponse:
        """The token goes into a cookie that no script reads, and out of the address."""
        answer = RedirectResponse("/", 303)
        answer.set_cookie(self.cookie, self.token, httponly=True, samesite="strict", path="/")
        return answer


class TooLargeError(Exception):
    """A request that never ends."""


def _bounded(receive: Receive) -> Receive:
    """A body without a length ends where it would be too long."""
    taken = 0

    async def bounded() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > MOST_BYTES:
            raise TooLargeError
        return message

    return bounded


def _with_headers(send: Send) -> Send:
    async def sending(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sending
