"""Where cameras and cards were: all from the corners of the cards."""
