"""Reads an SVG drawing at its true size.

The way through: `xmltree` (bytes to elements) -> `viewport` (the page's size) -> `cascade` (which
CSS holds where) -> `walk` (what is drawn, with which role) -> `pathdata` and `shapes` (lines in
the drawing's own units) -> `outline` (paths in millimetres).
"""

from tiler.intake.svg.reader import read_svg

__all__ = ["read_svg"]
