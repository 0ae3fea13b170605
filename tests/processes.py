"""Which processes a test has begun."""

from pathlib import Path


def children() -> set[str]:
    """The numbers of those that this process has begun, in any thread, and not seen the end of."""
    told = [path.read_text() for path in Path("/proc/self/task").glob("*/children")]
    return set(" ".join(told).split())
