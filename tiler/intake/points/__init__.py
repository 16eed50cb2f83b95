"""A piece measured with a ruler: points in a table, joined by straight lines and smooth curves.

The way through: `table` (a spreadsheet's text to rows) or the key `points` of a pattern file ->
`point` (what each row means) -> `curve` (a smooth line through points) -> `sheet` (a drawing).
"""

from tiler.intake.points.reader import read_points

__all__ = ["read_points"]
