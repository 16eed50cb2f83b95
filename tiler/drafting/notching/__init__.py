"""Notches on the cut line: drawn ones carried there, wished ones, and those of dart legs."""

from tiler.drafting.notching.pattern import with_notches

__all__ = ["with_notches"]
