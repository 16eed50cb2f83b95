"""The target cards, found in photos to a few hundredths of a pixel."""
