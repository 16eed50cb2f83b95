"""Mats under a projector: making one, measuring its picture, showing pieces on it."""

from tiler.web.mats.page import routes

__all__ = ["routes"]
