"""A second opinion on every score."""
