"""The table under a hand: choosing, moving, measuring and redrawing in a real browser."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.web.browser import chromium, visit
from tests.web.door import Studio

CHOSEN = "document.querySelector('#lengths input:checked')?.value ?? ''"
VIEW = "document.querySelector('#picture svg').getAttribute('viewBox')"
AGAIN = "document.dispatchEvent(new Event('look-again'))"


def view_of(page: Page) -> list[float]:
    return [float(number) for number in page.evaluate(VIEW).split()]


def until(page: Page, holds: Callable[[], bool]) -> None:
    for _ in range(100):
        if holds():
            return
        page.wait_for_timeout(50)
    raise AssertionError("it did not come")


def test_edges_are_chosen_by_hand_and_by_key_and_every_change_is_redrawn(
    served: Studio, hat: Path
) -> None:
    origin = served.origin
    with chromium() as browser, visit(browser, served.address) as (page, outside):
        page.goto(f"{origin}/p/hat/table/Brim")
        page.wait_for_selector("#findings:not([aria-busy])")
        page.wait_for_selector("#undo")

        # A press beside the words of an edge, on its line, chooses it; one on bare table nothing.
        edge = page.evaluate(
            """() => {
              const path = document.querySelector('[data-layer="edge:D"] [data-layer="way"] path');
              const at = path.getPointAtLength(path.getTotalLength() / 4);
              const on = at.matrixTransform(path.getScreenCTM());
              return [on.x, on.y];
            }"""
        )
        page.mouse.click(edge[0] - 6, edge[1] + 2)
        assert page.evaluate(CHOSEN) == "edge:D"
        assert page.url.endswith("?edge=D")
        assert "Edge D, head edge" in page.inner_text("#chosen")
        corner = page.locator("#stage").bounding_box()
        assert corner is not None
        page.mouse.click(corner["x"] + 8, corner["y"] + 8)
        assert page.evaluate(CHOSEN) == ""

        # The arrows walk round the piece and come back to where they began; Escape lets go.
        page.locator("#edge-A").focus()
        page.keyboard.press("Space")
        walked = []
        for _ in range(4):
            page.keyboard.press("ArrowDown")
            walked.append(page.evaluate(CHOSEN))
        assert walked == ["edge:B", "edge:C", "edge:D", "edge:A"]
        assert page.locator('[data-layer="edge:A"].chosen').count() == 1
        page.keyboard.press("Escape")
        assert page.evaluate(CHOSEN) == ""

        # Keys come nearer and go back; a drag moves what is seen by as much as the hand.
        whole = view_of(page)
        page.locator("#stage").focus()
        page.keyboard.press("+")
        near = view_of(page)
        assert near[2] == pytest.approx(whole[2] / 1.35, rel=1e-3)
        page.mouse.move(corner["x"] + 200, corner["y"] + 200)
        page.mouse.down()
        page.mouse.move(corner["x"] + 230, corner["y"] + 215, steps=3)
        page.mouse.up()
        moved = view_of(page)
        scale = near[2] / page.evaluate("document.getElementById('stage').clientWidth")
        assert moved[0] - near[0] == pytest.approx(-30 * scale, abs=0.01)
        assert moved[1] - near[1] == pytest.approx(-15 * scale, abs=0.01)

        # The ruler tells what lies between two presses: as many millimetres as the view says.
        page.click("#ruler")
        for across in (10, 110):
            page.mouse.click(corner["x"] + across, corner["y"] + 10)
        told = float(page.inner_text("#measure").removesuffix(" mm"))
        assert told == pytest.approx(100 * scale, abs=0.06)
        page.keyboard.press("Escape")

        # A change of the file is drawn; the view stays, the changed length says what it was.
        before = page.inner_text('[data-cell="D||stitch"]')
        file = hat / "pattern.toml"
        text = file.read_text("utf-8")
        file.write_text(
            re.sub(r'allowance = "10 mm"', 'allowance = "12 mm"', text, count=1), "utf-8"
        )
        page.evaluate(AGAIN)
        until(page, lambda: page.locator("#lengths .changed").count() > 0)
        assert page.inner_text('[data-cell="D||stitch"]') == before
        assert "was 10 mm" in page.inner_text('[data-cell="D||allowance"]').replace("\n", " ")
        assert view_of(page) == moved
        until(page, lambda: page.evaluate("performance.getEntriesByName('redraw').length") == 1)

        # And it is the same view after the page is loaded again.
        page.reload()
        assert view_of(page) == pytest.approx(moved, abs=0.002)
    assert outside == []
