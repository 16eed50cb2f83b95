"""Positions -> Drawing: what is printed on each page, in millimetres."""
