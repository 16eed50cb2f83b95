"""Answers that come in another order than they were asked for hide nothing."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import APIResponse, Route, expect

from tests.web.browser import chromium, visit
from tests.web.door import Studio


def test_a_plan_that_comes_late_does_not_hide_the_file_that_is_made(
    served: Studio, hat: Path
) -> None:
    held: list[tuple[Route, APIResponse]] = []

    def hold(route: Route) -> None:
        """The server has answered; the answer is on its way."""
        held.append((route, route.fetch()))

    address = f"{served.origin}/p/{hat.name}/printer"
    with chromium() as browser, visit(browser, served.address) as (page, _):
        page.route("**/printer/plan", hold)
        page.goto(address)
        while not held:
            page.wait_for_timeout(50)
        page.locator("#publish-all").click()
        expect(page.locator("#publish .working")).to_be_visible(timeout=30_000)
        for route, answer in held:
            route.fulfill(response=answer)
        expect(page.locator("#plan svg")).to_be_visible(timeout=60_000)
        link = page.get_by_role("link", name="Save the PDF")
        expect(link).to_be_visible(timeout=60_000)
