"""Debian's Chromium, driven by Playwright, on a studio that really runs."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

#: Without these it looks for updates and time servers by itself, which is none of the page's doing.
_QUIET = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@contextmanager
def chromium() -> Iterator[Browser]:
    """The browser; it is an error when there is none."""
    path = shutil.which("chromium")
    assert path, "there is no chromium: tests/run installs it"
    # The tests run as root in many places, where Chromium has no sandbox of its own.
    flags = _QUIET if os.geteuid() == 0 else _QUIET[1:]
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(flags))
        try:
            yield browser
        finally:
            browser.close()


@contextmanager
def visit(
    browser: Browser,
    address: str,
    *,
    width: int = 1280,
    height: int = 900,
    dark: bool = False,
    language: str = "en",
) -> Iterator[tuple[Page, list[str]]]:
    """A page on the studio, and the addresses outside it that were asked for (there are none).

    Whatever goes wrong in the page's own scripts, or is refused by its policy, ends the test.
    """
    context: BrowserContext = browser.new_context(
        viewport={"width": width, "height": height},
        color_scheme="dark" if dark else "light",
        locale=language,
        reduced_motion="reduce",
        accept_downloads=True,
    )
    origin = address.split("/open", 1)[0]
    outside: list[str] = []
    faults: list[str] = []

    def asked(url: str) -> None:
        if not url.startswith((f"{origin}/", "blob:", "data:")):
            outside.append(url)

    context.on("request", lambda request: asked(request.url))
    page = context.new_page()
    page.on("pageerror", lambda fault: faults.append(str(fault)))
    page.on(
        "console",
        lambda told: faults.append(told.text) if "Content Security Policy" in told.text else None,
    )
    page.goto(address)
    try:
        yield page, outside
    finally:
        context.close()
    assert faults == []
