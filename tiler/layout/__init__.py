"""Pattern -> positions: papers, the grid of pages, and where each piece lies on it."""
