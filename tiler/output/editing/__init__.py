"""Changes to a `pattern.toml` that leave all else in it as it was written."""
