"""Exit codes, and what each means."""

DONE = 0
TOOL_FAILURE = 1
INPUT_MISTAKE = 2
INTERRUPTED = 130

MEANINGS = {
    DONE: "Done.",
    TOOL_FAILURE: "The tool failed, or could not print what it had to say.",
    INPUT_MISTAKE: "An input is wrong: every mistake is told with its file, line and column.",
    INTERRUPTED: "Interrupted.",
}
