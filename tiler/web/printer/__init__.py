"""The page where a pattern becomes pages, or pictures for a projector."""

from tiler.web.printer.page import routes

__all__ = ["routes"]
