"""The whole job in a browser: from a drawing dropped on the page to a bundle that proves.

What the studio makes is what the command makes, byte for byte.
"""

from __future__ import annotations

import base64
import tomllib
import zipfile
from pathlib import Path

from playwright.sync_api import Download, Page, expect

from tests.cli.owncommand import blocksheet
from tests.web.browser import chromium, visit
from tests.web.door import Studio
from tiler.job import prove_file

#: Half of a kneeling pad's cover, 240 x 300 mm; the left edge lies on the fold.
DRAWING = """<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="360mm"
viewBox="0 0 300 360">
<path d="M30 330 V30 H210 C250 30 270 60 270 110 V330 Z" fill="none" stroke="black"/></svg>"""
#: Waiting for a search on a busy computer, milliseconds.
PATIENCE = 120_000
expect.set_options(timeout=60_000)


def drop(page: Page, name: str, content: str) -> None:
    """As when a file is let go over the page with the mouse."""
    page.evaluate(
        """([name, content]) => {
            const bytes = Uint8Array.from(atob(content), (letter) => letter.charCodeAt(0));
            const data = new DataTransfer();
            data.items.add(new File([bytes], name, { type: "image/svg+xml" }));
            const field = document.querySelector(".drop");
            for (const kind of ["dragenter", "dragover", "drop"])
                field.dispatchEvent(
                    new DragEvent(kind, { dataTransfer: data, bubbles: true, cancelable: true }));
        }""",
        [name, base64.b64encode(content.encode()).decode()],
    )


def kept(download: Download, folder: Path) -> Path:
    target = folder / download.suggested_filename
    download.save_as(target)
    return target


def test_from_a_dropped_drawing_to_a_bundle_that_proves(library: Path, tmp_path: Path) -> None:
    saved = tmp_path / "saved"
    with (
        Studio(library) as studio,
        chromium() as browser,
        visit(browser, studio.address) as (page, outside),
    ):
        page.set_default_timeout(60_000)
        _begin(page)
        _say_what_the_edges_are(page)
        pdf = _print(page, saved)
        _lay(page)
        bundle = _give(page, saved)
    assert outside == []
    folder = library / "kneeling-pad-cover"
    said = tomllib.loads((folder / "pattern.toml").read_text("utf-8"))
    (piece,) = said["piece"]
    assert (said["allowance"], piece["allowances"]) == ("12 mm", {"B": "20 mm"})
    assert prove_file(pdf).proven
    _same_as_the_command(folder, pdf, bundle, tmp_path)
    with zipfile.ZipFile(bundle) as held:
        (sheet,) = [name for name in held.namelist() if name.endswith("-a4.pdf")]
        (tmp_path / "friend.pdf").write_bytes(held.read(sheet))
    assert prove_file(tmp_path / "friend.pdf").proven


def _begin(page: Page) -> None:
    """Drop a drawing, and answer what it does not say."""
    page.get_by_role("link", name="Begin a pattern").first.click()
    page.wait_for_url("**/begin")
    page.wait_for_load_state("load")
    drop(page, "cover.svg", DRAWING)
    expect(page.locator("#chosen li")).to_have_count(1)
    page.get_by_role("button", name="Take them in").click()
    page.get_by_label("Title").fill("Kneeling pad cover")
    page.get_by_label("Maker").fill("Marrow Lane Allotment Society")
    page.get_by_label("Seam allowance").fill("12")
    page.get_by_label("Main cloth").fill("waxed cotton")
    page.get_by_label("The stitch line").check()
    page.get_by_label("On the fold: half of it is drawn").check()
    page.get_by_label("Edge on the fold").select_option("A")
    page.get_by_role("button", name="Put it on the table").click()
    expect(page.locator("#picture svg")).to_be_visible()


def _say_what_the_edges_are(page: Page) -> None:
    """Choose an edge, give it an allowance, take it back, give it once more."""
    page.wait_for_load_state("load")
    page.locator("#lengths").get_by_role("radio").nth(1).check()
    field, lengths = page.locator("#edge-allowance"), page.locator("#lengths")
    field.fill("20")
    field.press("Enter")
    expect(lengths).to_contain_text("20 mm")
    page.get_by_role("button", name="Undo").click()
    expect(lengths).not_to_contain_text("20 mm")
    page.get_by_role("button", name="Redo").click()
    expect(lengths).to_contain_text("20 mm")


def _print(page: Page, saved: Path) -> Path:
    page.get_by_role("link", name="Printer", exact=True).click()
    expect(page.locator("[data-again], [data-done]")).to_have_count(0, timeout=PATIENCE)
    page.locator("#publish-all").click()
    link = page.get_by_role("link", name="Save the PDF")
    expect(link).to_be_visible(timeout=PATIENCE)
    with page.expect_download() as coming:
        link.click()
    return kept(coming.value, saved)


def _lay(page: Page) -> None:
    page.get_by_role("link", name="Cloth", exact=True).click()
    page.get_by_label("a second or two").check()
    page.get_by_role("button", name="Lay the pieces").click()
    expect(page.locator("#plan svg")).to_be_visible(timeout=PATIENCE)


def _give(page: Page, saved: Path) -> Path:
    page.get_by_role("link", name="Hand over", exact=True).click()
    page.locator("#ask summary").click()
    page.locator("#ask input[name=effort][value=quick]").check()
    page.get_by_role("button", name="Make the file").click()
    link = page.get_by_role("link", name="Download").first
    expect(link).to_be_visible(timeout=PATIENCE)
    with page.expect_download() as coming:
        link.click()
    return kept(coming.value, saved)


def _same_as_the_command(folder: Path, pdf: Path, bundle: Path, room: Path) -> None:
    out = room / "command"
    assert blocksheet("publish", str(folder), "--on", "a4", "--out", str(out)).returncode == 0
    (own,) = out.glob("*.pdf")
    assert (own.name, own.read_bytes()) == (pdf.name, pdf.read_bytes())
    papers = ("--on", "a4", "--on", "letter", "--effort", "quick")
    given = blocksheet("give", str(folder), *papers, "--out", str(out / bundle.name))
    assert given.returncode == 0, given.stderr
    with zipfile.ZipFile(out / bundle.name) as mine, zipfile.ZipFile(bundle) as theirs:
        assert mine.namelist() == theirs.namelist()
        for name in mine.namelist():
            assert mine.read(name) == theirs.read(name), name
    assert bundle.read_bytes() == (out / bundle.name).read_bytes()
