"""The page that tells how true a printer prints, and keeps what was found."""

from tiler.web.scale.page import routes

__all__ = ["routes"]
