"""Pages of the yards."""
