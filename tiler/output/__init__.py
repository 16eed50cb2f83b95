"""Drawing -> files. Outputs know only drawings."""
