"""Seams that will be sewn together: walked against one another, and run on across."""
