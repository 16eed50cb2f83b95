"""A small apron as a pattern folder: three plain pieces, two styles, read and laid in no time."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from tiler.job import Packing, Surface, read
from tiler.job.planning import plan_pages
from tiler.layout.plan import Plan

A4 = Surface("a4")
QUICK = Packing(effort="quick")
_SVG = """<svg xmlns="http://www.w3.org/2000/svg" width="{w}mm" height="{h}mm"
 viewBox="0 0 {w} {h}">
<path class="stitch" d="M0 0H{w}V{h}H0Z"/>
{more}</svg>
"""
_STYLE = '<path class="inside style:{style}" d="M40 {y}H120"/>\n'
PIECES = {"Front": (130, 200), "Back": (120, 180), "Tab": (50, 80)}
_TOML = """title = "Watering apron"
allowance = "10 mm"

[style]
long = "to the knee"
short = "above it"
"""


def write_apron(folder: Path, **sizes: tuple[int, int]) -> Path:
    """The folder, made anew; sizes of pieces in millimetres without their allowance."""
    folder.mkdir(parents=True, exist_ok=True)
    words = _TOML
    for name, size in (PIECES | sizes).items():
        words += f'\n[[piece]]\nname = "{name}"\ndrawing = "{name.lower()}.svg"\n'
        styles = (("long", 60), ("short", 90)) if name == "Front" else ()
        more = "".join(_STYLE.format(style=style, y=y) for style, y in styles)
        drawing = _SVG.format(w=size[0], h=size[1], more=more)
        (folder / f"{name.lower()}.svg").write_text(drawing)
    (folder / "pattern.toml").write_text(words)
    return folder


@cache
def searched() -> Plan:
    """Its pages as the search lays them on A4."""
    with TemporaryDirectory() as folder:
        return plan_pages(read(write_apron(Path(folder))), A4, QUICK)
