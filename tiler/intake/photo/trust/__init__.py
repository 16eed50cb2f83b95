"""How flat the paper lay, and how near to the truth the lines are."""
