"""A pattern as it is given to a friend: one ZIP file that opens on every system."""
