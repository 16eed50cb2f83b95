"""What a hand waits for in the studio: from a typed allowance to the new picture, in a browser."""

from __future__ import annotations

import shutil
import statistics
import tempfile
from collections.abc import Sequence
from pathlib import Path

from playwright.sync_api import Page

from tests.demos import DEMO_PIECES
from tests.web.browser import chromium, visit
from tests.web.door import Studio

#: What is changed -> what the address of the table has behind its question mark, the tab of the
#: panel it is on (none: the one that is shown), and the field.
_FORMS = {
    "edge B of the front": ("?edge=B", "", "#edge-allowance"),
    "the front": ("", "#tab-piece", "#piece-allowance"),
    "the whole pattern": ("", "#tab-pattern", "#whole-allowance"),
}
#: The page's own measure of each change and how long the server took to begin its answer, once the
#: picture and, behind it, the panel have come; nothing until then.
_TAKEN = """(n) => {
  const seen = performance.getEntriesByName("redraw");
  const asked = performance.getEntriesByType("resource");
  const sent = asked.filter((each) => each.name.endsWith("/edit"));
  const there = seen.length > n && sent.length > n && !document.querySelector("#panel.was");
  return there && [seen.at(-1).duration, sent.at(-1).responseStart - sent.at(-1).requestStart];
}"""


def report(changes: int = 20) -> None:
    """Print the figures.

    Args:
        changes: How many are made of the edge; of the others half as many.
    """
    print("from a new allowance to the new picture of the smock's front, in Chromium (wall)")
    with tempfile.TemporaryDirectory() as home:
        library = Path(home) / "library"
        shutil.copytree(DEMO_PIECES / "smock", library / "smock")
        with (
            Studio(library) as studio,
            chromium() as browser,
            visit(browser, studio.address) as (page, _),
        ):
            for name, (query, tab, field) in _FORMS.items():
                page.goto(f"{studio.origin}/p/smock/table/Front{query}")
                page.wait_for_selector("#panel.sheet")
                if tab:
                    page.click(tab)
                count = changes if tab == "" else changes // 2
                print(f"  {name:<20}{_row([_changed(page, field, n) for n in range(count)])}")


def _changed(page: Page, field: str, number: int) -> tuple[float, float]:
    """Milliseconds until the picture was seen, and until the server answered."""
    page.wait_for_selector("#findings:not([aria-busy])")
    page.evaluate("document.getElementById('panel').classList.add('was')")
    page.fill(field, f"{12 + number % 5}.{number % 7}")
    page.press(field, "Enter")
    taken = page.wait_for_function(_TAKEN, arg=number).json_value()
    return taken[0], taken[1]


def _row(found: Sequence[tuple[float, float]]) -> str:
    seen, server = (sorted(each) for each in zip(*found, strict=True))
    low, middle, high = statistics.quantiles(seen, n=4)
    return (
        f"{middle:>4.0f} ms in the middle, half of them {low:.0f} to {high:.0f}, "
        f"best {seen[0]:.0f}; of it the server {statistics.median(server):.0f}"
    )
