"""Practice drills for pianists, cut from the full score and bound into a booklet."""

__version__ = "0.1.0"
