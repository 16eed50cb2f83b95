"""The command: a thin door onto tiler.job. Heavy imports happen inside the commands."""
