"""Buttons, buttonholes and drill points, put where the maker asks for them."""

from tiler.drafting.marking.rows import with_marks

__all__ = ["with_marks"]
