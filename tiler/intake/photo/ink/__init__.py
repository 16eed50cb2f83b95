"""The table from straight above, and the centre lines of the ink on it."""
