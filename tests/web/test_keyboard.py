"""The whole job with the keyboard alone: nothing is out of reach, no focus is unseen or lost.

WCAG 2.2: 2.1.1 keyboard, 2.1.2 no trap, 2.4.7 focus visible, 2.4.11 focus not obscured.
"""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page, Route, expect

from tests.web.browser import chromium, visit
from tests.web.door import Studio
from tests.web.places import COVER
from tiler.job import prove_file

expect.set_options(timeout=60_000)

#: Where the focus is, whether one sees that it is there, and whether something lies over it.
FOCUS = """(wanted) => {
  const on = document.activeElement;
  if (!on || on === document.body) return null;
  // A field that is drawn by its label shows the focus there; a link may show it on the whole card.
  const drawn = [on, on.nextElementSibling].filter(Boolean).flatMap((each) => [
    getComputedStyle(each), getComputedStyle(each, "::before")]);
  const ring = (style) => style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2;
  const tiny = on.getClientRects()[0]?.width < 2 || getComputedStyle(on).opacity === "0";
  const shown = tiny ? on.nextElementSibling || on : on;
  const box = shown.getBoundingClientRect();
  const [left, top] = [Math.max(box.left, 0), Math.max(box.top, 0)];
  const [right, bottom] = [Math.min(box.right, innerWidth), Math.min(box.bottom, innerHeight)];
  const inside = right > left && bottom > top;
  const above = inside && document.elementFromPoint((left + right) / 2, (top + bottom) / 2);
  const own = (each) => each && (each.contains(above) || above.contains(each));
  const bare = above && (own(shown) || own(on.labels?.[0]));
  return { name: `${on.tagName}#${on.id} ${on.name} ${on.textContent.trim().slice(0, 40)}`,
    seen: drawn.some(ring), bare: Boolean(bare), fits: Boolean(wanted) && on.matches(wanted) };
}"""


class Keys:
    """Ten fingers; every step looks where the focus is."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)

    def held(self, wanted: str = "", *, somewhere: bool = True) -> bool | None:
        """The focus is somewhere, it is drawn, and nothing lies over it; whether it fits."""
        on = self.page.evaluate(FOCUS, wanted)
        if on is None and not somewhere:
            return None
        assert on, "the focus is lost"
        assert on["seen"], f"the focus on {on['name']} is not drawn"
        assert on["bare"], f"{on['name']} is covered or out of sight"
        return bool(on["fits"])

    def to(self, selector: str, key: str = "Tab") -> None:
        """With Tab to the first thing that fits; from the page's end on it begins anew."""
        lost = 0
        for _ in range(150):
            self.press(key)
            fits = self.held(selector, somewhere=False)
            if fits:
                return
            lost += fits is None
            assert lost < 3, f"there is no {selector}"
        raise AssertionError(f"{selector} is not reached")

    def back(self, selector: str) -> None:
        self.to(selector, "Shift+Tab")

    def write(self, selector: str, text: str) -> None:
        self.to(selector)
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(text)

    def pick(self, name: str, value: str) -> None:
        """With the arrows through a group of radio buttons."""
        self.to(f"[name='{name}']")
        for _ in range(8):
            if self.page.evaluate("document.activeElement.value") == value:
                assert self.page.evaluate("document.activeElement.checked")
                return
            self.press("ArrowDown")
            self.held()
        raise AssertionError(f"{name} has no {value}")

    def round(self) -> None:
        """Tab leads through the whole page, to its end and back to its beginning."""
        self.to(".foot a:last-of-type")
        self.to(".skip")
        self.press("Enter")


def test_the_whole_job_without_a_mouse(library: Path, tmp_path: Path) -> None:
    with (
        Studio(library) as studio,
        chromium() as browser,
        visit(browser, studio.address) as (page, outside),
    ):
        page.set_default_timeout(60_000)
        keys = Keys(page)
        _begin(keys)
        _table(keys, library / "cover" / "pattern.toml")
        _print(keys)
        _lay(keys)
        _give(keys, tmp_path / "cover.zip")
    assert outside == []
    (pdf,) = (library / "cover" / "sheets").glob("*a4.pdf")
    assert prove_file(pdf).proven


def _begin(keys: Keys) -> None:
    page = keys.page
    keys.to("main .next")
    keys.press("Enter")
    page.wait_for_url("**/begin")
    page.wait_for_load_state("load")
    keys.to("#files")
    page.locator("#files:focus").set_input_files(
        {"name": "cover.svg", "mimeType": "image/svg+xml", "buffer": COVER}
    )
    expect(page.locator("#chosen li")).to_have_count(1)
    expect(page.locator("#said")).to_have_text("cover.svg")
    keys.to(".drop .next")
    keys.press("Enter")
    expect(page.locator("fieldset.piece svg")).to_be_visible()
    page.wait_for_load_state("load")
    keys.write("[name=title]", "Cover")
    keys.write("[name=maker]", "Marrow Lane Allotment Society")
    keys.write("[name=allowance]", "12")
    keys.write("[name=cloth]", "waxed cotton")
    keys.pick("traced", "stitch")
    keys.pick("lay-0", "fold")
    keys.to("main .next")
    keys.press("Enter")
    page.wait_for_url("**/table*")
    expect(page.locator("#undo")).to_be_attached()


def _table(keys: Keys, file: Path) -> None:
    """An allowance, given, undone and given again; a hem; a notch."""
    page, lengths = keys.page, keys.page.locator("#lengths")
    keys.round()
    keys.to("#lengths input")
    keys.press("ArrowDown")
    expect(page.locator("#edge-B")).to_be_focused()
    keys.press("Enter")
    expect(page.locator("#panel :focus")).to_have_count(1)
    keys.write("#edge-allowance", "20")
    keys.press("Enter")
    expect(lengths).to_contain_text("20 mm")
    expect(page.locator("#said")).to_contain_text("B, Allowance: 20 mm, was 12 mm")
    expect(page.locator("#edge-allowance")).to_be_focused()
    keys.press("Escape")
    expect(page.locator("#edge-B")).to_be_focused()
    for key, told in (("Control+z", "12 mm"), ("Control+Shift+z", "20 mm")):
        keys.press(key)
        expect(page.locator("#said")).to_contain_text(f"B, Allowance: {told}")
        expect(page.locator("#edge-B")).to_be_focused()
        keys.held()
    keys.press("ArrowDown", "Enter")
    expect(page.locator("#panel :focus")).to_have_count(1)
    keys.pick("lies", "hem")
    keys.write("#edge-allowance", "30")
    keys.press("Enter")
    expect(lengths.locator("#on-C")).to_contain_text("hem")
    keys.held()
    for summary in ("#of-notches", "#of-notch-new"):
        keys.to(f"{summary} > summary")
        keys.press("Enter")
    keys.write("#notch-new-at", "50 mm")
    keys.press("Enter")
    expect(lengths.locator("[name=thing]")).to_have_count(1)
    keys.held()
    # What cannot be is told at its field, and can be put right there.
    keys.write("#edge-allowance", "much")
    keys.press("Enter")
    expect(page.locator("#edge-allowance")).to_have_attribute("aria-invalid", "true")
    expect(page.locator("#edge-allowance")).to_be_focused()
    assert "trouble" in (page.locator("#edge-allowance").get_attribute("aria-describedby") or "")
    keys.held()
    assert '"much"' not in file.read_text("utf-8")
    keys.back("#next a")
    keys.press("Enter")


def _print(keys: Keys) -> None:
    """A piece is moved with the arrows and put back, then the PDF is made."""
    page = keys.page
    page.wait_for_url("**/printer*")
    expect(page.locator("#plan-picture svg")).to_be_visible()
    keys.to("#plan .pick")
    keys.press("Enter", "Shift+ArrowRight")
    expect(page.locator("#undo")).to_be_visible()
    expect(page.locator("#said")).to_contain_text("pages")
    expect(page.locator(".pick:focus")).to_have_count(1)
    keys.back("#undo")
    keys.press("Enter")
    expect(page.locator("#undo")).to_have_count(0)
    keys.held()
    keys.back("#publish-all")
    keys.press("Enter")
    expect(page.locator("#publish-title")).to_be_focused()
    expect(page.locator(".proven")).to_be_visible()
    expect(page.locator("#said")).to_contain_text("Proven true to size")
    keys.held()
    keys.round()
    keys.to("a[href$='/cloth']")
    keys.press("Enter")


def _lay(keys: Keys) -> None:
    page = keys.page
    page.wait_for_url("**/cloth*")
    keys.pick("effort", "quick")
    keys.to("#lay")
    keys.press("Enter")
    expect(page.locator("#plan svg")).to_be_visible()
    expect(page.locator("#said")).to_contain_text("To buy")
    expect(page.locator("#lay")).to_be_focused()
    keys.round()
    keys.to("a[href$='/handover']")
    keys.press("Enter")


def _give(keys: Keys, target: Path) -> None:
    page = keys.page
    page.wait_for_url("**/handover*")
    keys.to("[name=paper][value=letter]")
    keys.press("Space")
    keys.to("#ask summary")
    keys.press("Enter")
    keys.pick("effort", "quick")
    keys.to("#give")
    keys.press("Enter")
    expect(page.locator(".take a")).to_be_visible()
    expect(page.locator("#give")).to_be_focused()
    keys.to(".take a")
    with page.expect_download() as coming:
        keys.press("Enter")
    coming.value.save_as(target)
    assert target.stat().st_size > 0


def test_what_is_done_before_the_scripts_are_there_counts(hat: Path, served: Studio) -> None:
    """On a slow computer the page is there some time before what it does."""
    del hat
    with chromium() as browser, visit(browser, served.address) as (page, _):
        held: list[Route] = []

        def slowly(path: str, selector: str, key: str) -> None:
            page.route("**/static/shell.js", lambda route: held.append(route))
            page.goto(f"{served.origin}{path}", wait_until="commit")
            page.locator(selector).first.focus()
            page.keyboard.press(key)
            assert held
            while held:
                held.pop().continue_()
            page.unroute("**/static/shell.js")

        slowly("/p/hat/table/Brim", "#edge-C", "Space")
        expect(page.locator("#tab-edge")).to_contain_text("C")
        slowly("/begin", ".cards button", "Enter")
        page.wait_for_url("**/p/*/table*")
        slowly("/scale", "#across", "7")
        expect(page.locator("#across")).to_have_value("7")
        expect(page.locator("#answer p").first).to_be_visible()
