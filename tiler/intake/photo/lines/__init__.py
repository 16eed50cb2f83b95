"""Centre lines told apart: outlines of pieces and styles, and what is drawn on them."""
