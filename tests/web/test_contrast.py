"""Lines, letters and focus rings can be told from their ground, in the light and in the dark.

The ratio is that of WCAG 2.2 ("contrast ratio", "relative luminance"): 4.5 : 1 for letters (1.4.3),
3 : 1 for what one must see to use a control or to read a picture (1.4.11) and for focus rings.
"""

from __future__ import annotations

import re

import pytest

from tiler.web.templates import STATIC

LETTERS, LINES = 4.5, 3.0
#: Colour -> grounds it stands on, and the least ratio.
MUST = [
    (ink, ground, LETTERS)
    for ink in ("ink", "faint", "accent", "warn", "error")
    for ground in ("ground", "sheet", "sunk")
]
MUST += [("ink", ground, LETTERS) for ground in ("accent-soft", "warn-soft", "error-soft")]
MUST += [("faint", ground, LETTERS) for ground in ("accent-soft", "warn-soft", "error-soft")]
MUST += [("accent-ink", "accent", LETTERS), ("ink", "allowance", LETTERS)]
MUST += [("faint", "allowance", LETTERS)]
MUST += [("focus", ground, LINES) for ground in ("ground", "sheet", "sunk", "allowance")]
MUST += [("edge", ground, LINES) for ground in ("ground", "sheet")]
#: Lines of the pictures, on the piece, on its allowance and on the table.
MUST += [
    (line, ground, LINES)
    for line in ("cut", "stitch", "faint", "accent", "chosen", "warn", "error")
    for ground in ("sheet", "allowance", "sunk")
]
MUST += [("chosen", "allowance-chosen", LINES), ("cut", "allowance-chosen", LINES)]
MUST += [("stitch", "allowance-chosen", LINES), ("cut", "accent-soft", LINES)]
MUST += [("warn", "warn-soft", LINES), ("error", "error-soft", LINES)]


def variables(dark: bool) -> dict[str, str]:
    """Name -> colour, as the style sheets set them."""
    found: dict[str, str] = {}
    for name in ("base.css", "table.css"):
        words = (STATIC / name).read_text("utf-8")
        for where, block in re.findall(r"(:root[^{},]*)\{([^}]*)\}", words):
            if where.strip() == ":root" or (dark and 'data-theme="dark"' in where):
                found.update(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", block))
    return found


def luminance(colour: str) -> float:
    """WCAG 2.2, "relative luminance"."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def ratio(first: str, second: str) -> float:
    light, dark = sorted((luminance(first), luminance(second)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_what_the_standard_says() -> None:
    """Black on white is 21 : 1, a colour on itself 1 : 1 (WCAG 2.2, "contrast ratio")."""
    assert ratio("#000000", "#ffffff") == pytest.approx(21)
    assert ratio("#1f5a3c", "#1f5a3c") == pytest.approx(1)


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_what_must_be_seen_can_be_seen(dark: bool) -> None:
    colours = variables(dark)
    weak = {
        (ink, ground): round(found, 2)
        for ink, ground, least in MUST
        if (found := ratio(colours[ink], colours[ground])) < least
    }
    assert weak == {}


def test_the_dark_that_is_chosen_is_the_dark_of_the_system() -> None:
    for name in ("base.css", "table.css"):
        words = (STATIC / name).read_text("utf-8")
        own = re.search(r':root\[data-theme="dark"\] \{([^}]*)\}', words)
        system = re.search(r':root:not\(\[data-theme="light"\]\) \{([^}]*)\}', words)
        assert own
        assert system
        assert own[1].split() == system[1].split()


def test_motion_is_only_for_those_who_want_it() -> None:
    """WCAG 2.2, 2.3.3: every transition stands behind the user's own wish; nothing is animated."""
    for sheet in sorted(STATIC.glob("*.css")):
        words = sheet.read_text("utf-8")
        calm = re.sub(r"@media \(prefers-reduced-motion: no-preference\) \{.*?\}\s*\}", "", words)
        assert not re.search(r"transition|animation|scroll-behavior", calm), sheet.name


def test_outlines_are_never_taken_away_without_another_sign() -> None:
    """WCAG 2.2, 2.4.7: only what is focused by script alone, `main`, is without a ring."""
    for sheet in sorted(STATIC.glob("*.css")):
        without = re.findall(
            r"([^{}]*)\{[^}]*outline: (?:none|0)\b[^}]*\}", sheet.read_text("utf-8")
        )
        assert all(where.strip().split(" ")[0].startswith("main") for where in without), sheet.name
