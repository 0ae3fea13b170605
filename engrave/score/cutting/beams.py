"""Beams that a cut has torn are closed at the edge.

Enters: the events of one voice in order of time. Leaves: the same, with beams that begin and end
among them. Knows nothing of bars.
"""

from collections.abc import Sequence
from dataclasses import replace

from engrave.music.sheet import Event

_TO_LEFT = ("continue", "end")
_TO_RIGHT = ("begin", "continue")


def mended(events: Sequence[Event]) -> list[Event]:
    """``events`` with every beam whole: a beam of one note is none, or a hook beside others."""
    beams = [list(event.beams or ()) for event in events]
    for level in range(max(map(len, beams), default=0)):
        for index, tags in enumerate(beams):
            if level < len(tags):
                left = _reaches(beams, index - 1, level, _TO_RIGHT) and tags[level] in _TO_LEFT
                right = _reaches(beams, index + 1, level, _TO_LEFT) and tags[level] in _TO_RIGHT
                tags[level] = _tag(tags[level], left, right, first=_begins_group(tags, level))
    return [
        event if event.beams is None else replace(event, beams=_without_lone(tags))
        for event, tags in zip(events, beams, strict=True)
    ]


def _reaches(beams: Sequence[Sequence[str]], index: int, level: int, tags: Sequence[str]) -> bool:
    if not 0 <= index < len(beams) or level >= len(beams[index]):
        return False
    return beams[index][level] in tags


def _tag(tag: str, left: bool, right: bool, first: bool) -> str:
    if left or right:
        return {(True, True): "continue", (False, True): "begin", (True, False): "end"}[left, right]
    if tag.endswith("hook"):
        return tag
    return "forward hook" if first else "backward hook"


def _begins_group(tags: Sequence[str], level: int) -> bool:
    """Whether the note begins the beam above ``level``, which has been mended already."""
    return level > 0 and tags[0] == "begin"


def _without_lone(tags: Sequence[str]) -> tuple[str, ...]:
    return () if tags and tags[0].endswith("hook") else tuple(tags)
