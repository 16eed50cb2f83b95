"""Lay plans: how the pieces of a pattern lie on a length of cloth."""
