"""Blocksheet: a traced block in, a sheet of paper out that is proven to be true size."""

__version__ = "0.1.0"
