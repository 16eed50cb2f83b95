"""Every page of the studio, in the states that its users meet."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Page

from tests.job.seedpouch import seed_pouch

#: Half of a kneeling pad's cover; the left edge lies on the fold.
COVER = b"""<svg xmlns="http://www.w3.org/2000/svg"
 width="300mm" height="360mm" viewBox="0 0 300 360">
<path d="M30 330 V30 H210 C250 30 270 60 270 110 V330 Z" fill="none" stroke="black"/></svg>"""
#: A seam whose sides are 100 mm and 120 mm long, as nobody meant it.
_TORN = '\n[[seam]]\njoin = ["Flap.A", "Flap.B"]\n'


def furnish(library: Path, hat: Path) -> None:
    """Three small patterns: one to change, one in which a seam is wrong, one with styles."""
    seed_pouch(library / "pouch")
    torn = seed_pouch(library / "torn") / "pattern.toml"
    torn.write_text(torn.read_text("utf-8") + _TORN, "utf-8")
    shutil.copytree(hat, library / "hat")


@dataclass(frozen=True)
class Place:
    """A page, and what is done there before it is looked at.

    Attributes:
        name: What a test says of it.
        path: Its address in the studio.
        ready: What is there when all has come.
        act: What its user does first; is given the library too.
        leave: What ends it, where it would go on.
        framed: Whether it has the studio's frame, with one next step.
    """

    name: str
    path: str
    ready: str = "main h1"
    act: Callable[[Page, Path], None] | None = None
    leave: Callable[[Page], None] | None = None
    framed: bool = True


def _ask(page: Page, library: Path) -> None:
    del library
    page.locator("#files").set_input_files(
        {"name": "cover.svg", "mimeType": "image/svg+xml", "buffer": COVER}
    )
    page.locator(".drop .next").click()


def _refuse(page: Page, library: Path) -> None:
    del library
    page.locator("#edge-allowance").fill("much")
    page.locator("#edge-allowance").press("Enter")


def _fight(page: Page, library: Path) -> None:
    file = library / "pouch" / "pattern.toml"
    words = file.read_text("utf-8")
    (line,) = [each for each in words.splitlines() if each.startswith("allowance")]
    other = 'allowance = "9 mm"' if "11" in line else 'allowance = "11 mm"'
    page.locator("#whole-allowance").fill("13")
    file.write_text(words.replace(line, other), "utf-8")
    page.locator("#whole-go").click()


def _publish(page: Page, library: Path) -> None:
    del library
    page.locator("#publish-all").click()


def _nudge(page: Page, library: Path) -> None:
    del library
    page.locator("#nudge-right").click()


def _lay(page: Page, library: Path) -> None:
    del library
    page.locator("[name=effort][value=quick]").check()
    page.locator("#lay").click()


def _give(page: Page, library: Path) -> None:
    del library
    page.locator("[name=paper][value=letter]").uncheck()
    page.locator("#ask summary").click()
    page.locator("#ask [name=effort][value=quick]").check()
    page.locator("#give").click()


def _measure(page: Page, library: Path) -> None:
    del library
    page.locator("#across").fill("189.5")
    page.locator("#up").fill("269.5")


def _new_mat(page: Page, library: Path) -> None:
    del library
    assert page.viewport_size is not None
    page.locator("#name").fill(f"shed wall {page.viewport_size['width']}")
    page.locator("#width").fill("1600")
    page.locator("#height").fill("900")
    page.locator("form .next").click()


def _settings(page: Page, library: Path) -> None:
    del library
    page.locator(".prefs summary").click()


def _stop(page: Page) -> None:
    for _ in range(2):
        page.locator(".working button").first.click()


_PANEL = "#undo"
PLACES = (
    Place("shelf", "/", ".card svg"),
    Place("settings", "/", ".prefs form", _settings),
    Place("begin", "/begin", ".drop .next"),
    Place("questions", "/begin", "fieldset.piece svg", _ask),
    Place("table", "/p/pouch/table", _PANEL),
    Place("table, an edge", "/p/pouch/table?edge=B", "#edge-allowance"),
    Place("table, nested styles", "/p/hat/table/Brim?edge=B", "#edge-allowance"),
    Place("table, findings", "/p/torn/table", ".finding"),
    Place("table, refused", "/p/pouch/table?edge=B", "#trouble.trouble", _refuse),
    Place("table, conflict", "/p/pouch/table?panel=pattern", "#take-mine", _fight),
    Place("printer", "/p/pouch/printer", "#plan svg"),
    Place("printer, moved", "/p/pouch/printer", "#keep", _nudge),
    Place("printer, proven", "/p/pouch/printer", ".proven", _publish),
    Place("printer, at work", "/p/hat/printer", ".working progress", leave=_stop),
    Place("cloth", "/p/hat/cloth"),
    Place("cloth, laid", "/p/pouch/cloth", "#plan svg", _lay),
    Place("hand-over", "/p/hat/handover", ".notes-text"),
    Place("hand-over, given", "/p/pouch/handover", ".take", _give),
    Place("scale", "/scale"),
    Place("scale, judged", "/scale?for=pouch", ".verdict", _measure),
    Place("mats", "/mats"),
    Place("a mat", "/mats", "#mat-answer", _new_mat),
    Place("refusal", "/p/nothing/table", ".trouble"),
)
