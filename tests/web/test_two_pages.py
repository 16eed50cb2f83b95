"""Two pages of one browser on one pattern, as users have them, and what befalls them."""

from __future__ import annotations

import signal
from pathlib import Path

from playwright.sync_api import Page, expect

from tests.web.browser import chromium, visit
from tests.web.door import Studio
from tests.web.tabs import trug

#: Milliseconds that a loaded machine may need.
PATIENCE = 30_000
TABLE = "/p/trug/table/Pot%20band?edge=A"


def widen(page: Page, width: str) -> None:
    """Give the chosen edge another allowance."""
    page.fill("#edge-allowance", width)
    page.press("#edge-allowance", "Enter")


def choose(page: Page, edge: str) -> None:
    """Choose an edge in the list."""
    page.wait_for_load_state("load")
    page.locator("#lengths").get_by_role("radio").nth("ABCD".index(edge)).check()
    expect(page.locator("#edge input[name=edge]")).to_have_value(edge, timeout=PATIENCE)


def test_two_pages_meet_and_neither_loses_anything(library: Path) -> None:
    folder = trug(library)
    file = folder / "pattern.toml"
    sheets = folder / "sheets"
    sheets.mkdir()
    # What a friend's folder might hold: a picture that loads a script from beside it.
    (sheets / "x.js").write_text("document.documentElement.id = 'broken'")
    (sheets / "x.svg").write_text(
        "<svg xmlns='http://www.w3.org/2000/svg' id='whole'><script href='x.js'/></svg>"
    )
    with (
        Studio(library) as served,
        chromium() as browser,
        visit(browser, served.address) as (first, outside),
    ):
        second = first.context.new_page()
        for page in (first, second):
            page.goto(served.origin + TABLE)
            choose(page, "A")
        widen(first, "12")
        expect(first.locator("#undo .what")).to_contain_text("12 mm", timeout=PATIENCE)
        widen(second, "13")
        expect(second.locator("#trouble")).to_contain_text("12 mm", timeout=PATIENCE)
        expect(second.locator("#trouble")).to_contain_text("13 mm", timeout=PATIENCE)
        assert 'A = "12 mm"' in file.read_text("utf-8")
        second.click("#take-mine")
        expect(second.locator("#undo .what")).to_contain_text("13 mm", timeout=PATIENCE)
        assert 'A = "13 mm"' in file.read_text("utf-8")
        choose(first, "B")
        widen(first, "14")
        expect(first.locator("#undo .what")).to_contain_text("14 mm", timeout=PATIENCE)
        assert 'A = "13 mm", B = "14 mm"' in file.read_text("utf-8")
        # There and back: the page tells of the file as it is now.
        first.goto(f"{served.origin}/mats")
        first.go_back()
        choose(first, "A")
        expect(first.locator("#edge-allowance")).to_have_value("13", timeout=PATIENCE)
        second.goto(f"{served.origin}/p/trug/made/sheets/x.svg?show")
        assert second.evaluate("document.documentElement.id") == "whole"
        assert served.process
        served.process.send_signal(signal.SIGINT)
        served.process.wait(timeout=20)
        before = file.read_bytes()
        widen(first, "15")
        expect(first.locator("#trouble p")).to_be_visible()
        assert file.read_bytes() == before
        assert outside == []
