"""Nobody is kept out: axe-core finds nothing serious on any page, and pages reflow.

axe-core (Deque, MPL-2.0) checks rules of WCAG 2.2 A and AA that a program can check.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect

from tests.web.browser import chromium, visit
from tests.web.conftest import DEMOS
from tests.web.door import Studio
from tests.web.places import PLACES

RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as started:
        yield started


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A studio over a library with a smock in it, and a home of its own."""
    root = tmp_path_factory.mktemp("access")
    for name in ("smock", "hat"):
        shutil.copytree(DEMOS / name, root / "library" / name)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("BLOCKSHEET_HOME", str(root / "home"))
        with Studio(root / "library") as studio:
            yield studio.address


def settled(page: Page, origin: str, path: str) -> None:
    """The page with all that it fetches by itself."""
    page.goto(f"{origin}{path}")
    page.wait_for_load_state("load")
    expect(page.locator("[data-again], [data-done]")).to_have_count(0, timeout=60_000)
    page.wait_for_timeout(200)


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("width", [1280, 390])
def test_axe_finds_nothing_serious_and_nothing_comes_from_outside(
    browser: Browser, address: str, width: int, dark: bool
) -> None:
    origin = address.split("/open")[0]
    language = "uk" if dark else "en"
    with visit(browser, address, width=width, dark=dark, language=language) as (page, outside):
        for name, path in PLACES.items():
            settled(page, origin, path)
            found = Axe().run(page, options=RULES)
            serious = [
                (each["id"], [node["html"][:160] for node in each["nodes"]])
                for each in found.response["violations"]
                if each["impact"] in ("serious", "critical")
            ]
            assert serious == [], name
    assert outside == []


def test_pages_reflow_at_phone_width_and_at_four_times_the_size(
    browser: Browser, address: str
) -> None:
    """320 CSS px is 1280 px at 400 % (WCAG 2.2, 1.4.10)."""
    origin = address.split("/open")[0]
    for width in (390, 320):
        with visit(browser, address, width=width) as (page, _):
            for name, path in PLACES.items():
                settled(page, origin, path)
                wide = page.evaluate("document.documentElement.scrollWidth")
                assert wide <= width, (name, wide)


def test_every_page_has_one_heading_of_the_first_rank_and_one_next_step(
    browser: Browser, address: str
) -> None:
    origin = address.split("/open")[0]
    with visit(browser, address) as (page, _):
        for name, path in PLACES.items():
            settled(page, origin, path)
            assert page.locator("h1").count() == 1, name
            assert page.locator(".next:visible").count() == 1, name


def test_letters_grow_with_the_users_own_size(browser: Browser, address: str) -> None:
    """Text can be enlarged to 200 % without loss (WCAG 2.2, 1.4.4)."""
    origin = address.split("/open")[0]
    with visit(browser, address) as (page, _):
        for name, path in PLACES.items():
            settled(page, origin, path)
            page.evaluate("document.documentElement.style.fontSize = '200%'")
            wide = page.evaluate("document.documentElement.scrollWidth")
            assert wide <= 1280, (name, wide)
