"""A marked passage: cut, each hand's onsets fingered, its runs and hand positions."""
