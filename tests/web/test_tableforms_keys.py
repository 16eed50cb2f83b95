"""The forms in a browser: with the keyboard alone, and when somebody else was faster."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Page, expect

from tests.web.browser import chromium, visit
from tests.web.door import Studio


def in_file(page: Page, file: Path, line: str) -> None:
    """Wait until the file has a line."""
    for _ in range(100):
        if line in file.read_text("utf-8"):
            return
        page.wait_for_timeout(50)
    raise AssertionError(file.read_text("utf-8"))


def test_an_edge_is_changed_undone_and_fought_over_with_the_keyboard(
    hat: Path, served: Studio
) -> None:
    file = hat / "pattern.toml"
    start = file.read_text("utf-8")
    with chromium() as browser, visit(browser, served.address) as (page, outside):
        page.goto(f"{served.origin}/p/hat/table/Brim?edge=D")
        width = page.locator("#edge-allowance")
        width.fill("12,5")
        width.press("Enter")
        in_file(page, file, 'allowances = { D = "12.5 mm" }')
        expect(page.locator("#undo")).to_contain_text("Brim, edge D: 12.5 mm")
        expect(width).to_be_focused()

        # In a field the keys undo what was typed, elsewhere the change.
        width.press("Control+z")
        assert 'D = "12.5 mm"' in file.read_text("utf-8")
        page.locator("#edge-go").focus()
        page.keyboard.press("Control+z")
        expect(page.locator("#redo")).to_be_enabled()
        assert file.read_text("utf-8") == start
        page.locator("#edge-go").focus()
        page.keyboard.press("Control+Shift+z")
        in_file(page, file, 'allowances = { D = "12.5 mm" }')
        expect(page.locator("#undo")).to_contain_text("Brim, edge D: 12.5 mm")

        # Somebody else writes the same place by hand.
        file.write_text(file.read_text("utf-8").replace("12.5 mm", "8 mm"), "utf-8")
        width.fill("9")
        page.locator("#edge-go").press("Enter")
        expect(page.locator("#trouble")).to_contain_text("It says now")
        expect(page.locator("#trouble")).to_contain_text("8 mm")
        page.locator("#take-mine").press("Enter")
        in_file(page, file, 'allowances = { D = "9 mm" }')
        expect(page.locator("#trouble")).to_be_empty()
        # The panel comes behind the picture.
        expect(page.locator("#undo")).to_contain_text("Brim, edge D: 9 mm")

        # What is no length is told beside its field, again and again.
        for wrong in ("much", "9 furlongs"):
            width.fill(wrong)
            width.press("Enter")
            expect(page.locator(".field + #trouble")).to_contain_text(wrong)
            expect(width).to_be_focused()
        assert 'D = "9 mm"' in file.read_text("utf-8")

        # A width read off checked cloth is reckoned while it is typed.
        page.locator("#of-darts > summary").press("Enter")
        page.locator("#of-dart-new > summary").press("Enter")
        page.locator("#dart-new-width-checked").check()
        for name, value in (("flat", "12.5"), ("sewn", "9.5"), ("repeats", "10")):
            page.locator(f"#dart-new-{name}").fill(value)
        expect(page.locator("#dart-new-reckoned")).to_contain_text("It takes in 30 mm.")
    assert outside == []
