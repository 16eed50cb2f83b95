"""Pattern -> Pattern: the checks and changes that a drafter makes."""
