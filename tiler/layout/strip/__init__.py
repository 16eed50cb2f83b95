"""Laying whole pieces on a strip: a roll of paper, large sheets, later cloth."""
