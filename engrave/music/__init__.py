"""Music as values: notes, lengths, sheets, drills, tempo; frozen, exact, knowing no files."""
