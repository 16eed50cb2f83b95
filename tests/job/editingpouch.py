"""A pattern that is drafted in no time: one pouch of two rectangles."""

from __future__ import annotations

from pathlib import Path

PATTERN = """\
# A pouch for seeds.
title = "Seed pouch"
allowance = "10 mm"   # as always

[cloth]
main = "Linen"

[[piece]]
name = "Front"
drawing = "pouch.svg"
cut = { count = 1, cloth = "main", lay = "copies" }
grain = "A"
# Where the flap meets:
notches = [
    { edge = "B", at = "50 %" },   # the middle
]

[[piece]]
name = "Back"
drawing = "pouch.svg"
cut = { count = 1, cloth = "main", lay = "copies" }
grain = "A"
allowances = { A = "12 mm" }

[[seam]]
name = "side"
join = ["Front.A", "Back.C"]
"""
DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="120mm" viewBox="0 0 100 120">'
    '<path class="stitch" d="M0 0H100V120H0Z"/></svg>'
)


def pouch(folder: Path) -> Path:
    """A folder with the pattern."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "pattern.toml").write_bytes(PATTERN.encode())
    (folder / "pouch.svg").write_text(DRAWING, "utf-8")
    return folder
