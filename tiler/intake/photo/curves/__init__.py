"""Measured lines as straight lines and Béziers."""
