"""What the manifest has is what its page says, no more and no less."""

import json
import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

from tests.works import DEMO, ROOT, Built, Work

PAGE = (ROOT / "templates/reference/manifest.md").read_text("utf-8")
NOT_FIELDS = {
    "manifest.json", "2", "right", "left", "both", "learning", "warm-up", "source", "own", "beats",
    "tapped", "one-key", "marks", "score", "computed", "black", "white",
}  # fmt: skip


def documented() -> set[str]:
    """The names in backquotes that are fields: lower case, with underscores."""
    return set(re.findall(r"`([a-z][a-z0-9_]*)`", PAGE))


def names(value: Any) -> Iterator[str]:
    """The names of all fields; those under ``places`` are editions."""
    if isinstance(value, Mapping):
        for name, inner in value.items():
            yield name
            yield from names(list(inner.values()) if name == "places" else inner)
    elif isinstance(value, list):
        for inner in value:
            yield from names(inner)


def test_every_field_is_documented_and_every_documented_field_is_there(
    built: Callable[[Work], Built],
) -> None:
    made = json.loads((built(DEMO).folder / "manifest.json").read_text("utf-8"))
    there = set(names(made))
    assert there <= documented()
    # What the demo has not: sound, patterns of other octaves.
    optional = {"midi", "audio", "octaves"}
    assert documented() - there - NOT_FIELDS <= optional
