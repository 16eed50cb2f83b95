"""A published file as a source: the pattern that a PDF or a bundle carries, read with distrust.

`reading.py` is the way in, `apart.py` the same in a process of its own, with bounds. The proof
reads what a PDF carries with the same functions.
"""
