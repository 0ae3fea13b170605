"""Exit codes, and what each means."""

DONE = 0
TOOL_FAILURE = 1
"""At one of several files."""
INPUT_MISTAKE = 2
INTERRUPTED = 130
