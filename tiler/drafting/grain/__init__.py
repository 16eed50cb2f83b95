"""The grainline, laid beside an edge or the fold."""

from tiler.drafting.grain.laid import with_grain

__all__ = ["with_grain"]
