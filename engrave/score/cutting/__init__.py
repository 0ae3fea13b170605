"""A passage is cut out of a sheet."""
