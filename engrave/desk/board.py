"""What every page of the desk is to know now, part by part.

Enters: parts, by name, as they become known. Leaves: to each page the parts that it has not seen.
Knows nothing of what they hold; a part of None is gone.
"""

import json
from collections.abc import Iterator
from threading import Condition

from engrave.machine.loopback import HEARTBEAT_SECONDS


class Board:
    """Parts with the number of the moment at which each was put up."""

    def __init__(self) -> None:
        self._parts: dict[str, tuple[int, object]] = {}
        self._now, self._changed, self._is_closed = 0, Condition(), False

    def put(self, **parts: object) -> None:
        """Put up what has changed, and tell everybody at once."""
        with self._changed:
            new = {
                name: part
                for name, part in parts.items()
                if name not in self._parts or self._parts[name][1] != part
            }
            if new:
                self._now += 1
                self._parts.update({name: (self._now, part) for name, part in new.items()})
                self._changed.notify_all()

    def part(self, name: str) -> object:
        """The part of that name as it is now."""
        with self._changed:
            return self._parts.get(name, (0, None))[1]

    def close(self) -> None:
        """No more will come: whoever listens is told, and let go."""
        self.put(closed=True)
        with self._changed:
            self._is_closed = True
            self._changed.notify_all()

    def news(self) -> Iterator[str | None]:
        """All parts as JSON, then those that change; None now and then while nothing does."""
        seen = 0
        while True:
            self._wait_beyond(seen)
            with self._changed:
                new = {name: part for name, (when, part) in self._parts.items() if when > seen}
                seen, is_closed = self._now, self._is_closed
            yield json.dumps(new, ensure_ascii=False) if new else None
            if is_closed:
                return

    def _wait_beyond(self, seen: int) -> None:
        with self._changed:
            self._changed.wait_for(lambda: self._now > seen or self._is_closed, HEARTBEAT_SECONDS)
