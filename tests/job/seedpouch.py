"""A small pattern in which everything is said that a maker can say of a pattern and of himself."""

from __future__ import annotations

from pathlib import Path

MAKER = "Quillon Thistlewick"
ADDRESS = "https://plots.example/thistlewick"
TRACED_FROM = "the pouch of a grandmother at plot forty-one"
VERSION = "spring 1987"
DRAWING = "thistlewick-flap.svg"
#: What must be found nowhere in what is private.
TELLING = ("Quillon", "Thistlewick", "plots.example", "plot forty-one", "1987")

WORDS = f"""title = "Seed pouch"
maker = "{MAKER}"
version = "{VERSION}"
address = "{ADDRESS}"
about = "A pouch for seeds, to be worn at the belt."
traced_from = "{TRACED_FROM}"
language = "en"
wearer = "adult"
cords = true
licence = ["Sew it as often as you like.", "Do not sell the pattern."]
notions = ["Sewing thread", "1 button"]
sewing = ["Hem the flap.", "Sew the button on."]
allowance = "10 mm"

[cloth]
main = "Firm linen"

[finished]
"width" = "100 mm"

[cutting.main]
width = "90 cm"
nap = false
shrinkage = "3 %"

[[piece]]
name = "Flap"
drawing = "{DRAWING}"
cut = {{ count = 2, cloth = "main", lay = "copies" }}
notes = ["Press before you hem."]
"""
FLAP = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200">'
    '<path class="cut" d="M10 10 H110 V130 H10 Z"/><path class="grain" d="M60 120 V20"/></svg>\n'
)


def seed_pouch(folder: Path, **changed: str) -> Path:
    """Write it into a folder.

    Args:
        folder: New.
        changed: Words -> what stands in their place; ``__`` for a blank.
    """
    folder.mkdir(parents=True)
    words = WORDS
    for old, new in changed.items():
        old = old.replace("__", " ")
        assert old in words
        words = words.replace(old, new)
    (folder / "pattern.toml").write_text(words, encoding="utf-8")
    (folder / DRAWING).write_text(FLAP, encoding="utf-8")
    return folder
