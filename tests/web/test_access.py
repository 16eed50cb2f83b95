"""Nobody is kept out: what a program can check of WCAG 2.2 A and AA, on every page and state.

axe-core (Deque, MPL-2.0) checks names, roles and contrasts in the light and in the dark; reflow at
320 CSS px, which is 1280 px at 400 % (1.4.10), and letters of twice the size (1.4.4) are measured.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.web.browser import chromium, visit
from tests.web.conftest import DEMOS
from tests.web.door import Studio
from tests.web.places import PLACES, Place, furnish

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
#: What the colours of the dark change, and nothing else.
COLOURS = ["color-contrast", "link-in-text-block"]
#: A phone, and what WCAG measures reflow at, CSS px.
NARROW = (390, 320)
WAITING = "[data-again], [data-done], [aria-busy=true]"
#: For the slowest work on a busy computer, milliseconds.
PATIENCE = 60_000


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as started:
        yield started


def settled(page: Page, origin: str, place: Place, library: Path) -> None:
    """The page with all that it fetches by itself, after what its user does there."""
    page.goto(f"{origin}{place.path}")
    page.wait_for_load_state("load")
    if not place.leave:
        expect(page.locator(WAITING)).to_have_count(0, timeout=PATIENCE)
    if place.path.startswith("/p/") and "/table" in place.path and place.framed:
        expect(page.locator("#undo, .trouble").first).to_be_attached(timeout=PATIENCE)
    if place.act:
        place.act(page, library)
    expect(page.locator(place.ready).first).to_be_visible(timeout=PATIENCE)
    if not place.leave:
        expect(page.locator(WAITING)).to_have_count(0, timeout=PATIENCE)


def grave(page: Page, only: dict[str, object]) -> list[object]:
    """What axe finds that keeps somebody out."""
    options = {"runOnly": only, "resultTypes": ["violations"]}
    if page.evaluate("typeof axe === 'undefined'"):
        found = Axe().run(page, options=options).response
    else:
        found = page.evaluate("options => axe.run(options)", options)
    return [
        (each["id"], [node["html"][:160] for node in each["nodes"]])
        for each in found["violations"]
        if each["impact"] in ("serious", "critical")
    ]


def too_wide(page: Page) -> int:
    """Pixels by which the page is wider than its window."""
    return int(page.evaluate("document.documentElement.scrollWidth - innerWidth"))


def looked_at(page: Page, place: Place) -> list[tuple[str, object]]:
    """All that is wrong with a page."""
    said: list[tuple[str, object]] = []
    if page.locator("h1:visible").count() != 1:
        said.append(("headings of the first rank", page.locator("h1").count()))
    if page.locator(".next:visible").count() != (1 if place.framed else 0):
        said.append(("next steps", page.locator(".next:visible").count()))
    said += [("axe", each) for each in grave(page, {"type": "tag", "values": RULES})]
    assert page.viewport_size is not None
    size = page.viewport_size
    if size["width"] > NARROW[0]:
        # Colours are the same at every width.
        page.emulate_media(color_scheme="dark")
        said += [("axe, dark", each) for each in grave(page, {"type": "rule", "values": COLOURS})]
        page.emulate_media(color_scheme="light")
        page.evaluate("document.documentElement.style.fontSize = '200%'")
        said += [("wider with large letters", wide) for wide in [too_wide(page)] if wide > 0]
        page.evaluate("document.documentElement.style.fontSize = ''")
    for width in (size["width"], *NARROW):
        page.set_viewport_size({"width": width, "height": size["height"]})
        said += [(f"wider than {width} px", wide) for wide in [too_wide(page)] if wide > 0]
    page.set_viewport_size(size)
    return said


@pytest.mark.parametrize(("width", "language"), [(1280, "en"), (390, "uk")])
def test_every_page_is_open_to_everyone(
    browser: Browser,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    width: int,
    language: str,
) -> None:
    monkeypatch.setenv("BLOCKSHEET_HOME", str(tmp_path / "home"))
    library = tmp_path / "library"
    furnish(library, DEMOS / "hat")
    wrong: dict[str, list[tuple[str, object]]] = {}
    with (
        Studio(library) as studio,
        visit(browser, studio.address, width=width, language=language) as (page, outside),
    ):
        # What is slow to make is looked at once; the language changes its words alone.
        for place in PLACES if width > NARROW[0] else [p for p in PLACES if p.act is None]:
            settled(page, studio.origin, place, library)
            if found := looked_at(page, place):
                wrong[place.name] = found
            if place.leave:
                place.leave(page)
    assert wrong == {}
    assert outside == []
