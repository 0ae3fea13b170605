"""Logs as they should not be, as a screen, an editor or a mail programme might leave them.

The demo's own lines and lines made of any of a log's keys and values, with words, lines and bytes
broken or not: the same for the same seed.
"""

import random
from pathlib import Path

from tests.robustness.broken_text import WORDS, broken_text

DEMO_LOG = Path(__file__).parents[2] / "scores" / "nell.log.yaml"
_KEYS = (
    *("id", "day", "piece", "student", "drill", "passage", "lesson", "done", "withdraws"),
    *("adopts", "mark", "beat", "clean", "minutes", "word"),
)
_VALUES = (
    *("0" * 32, "f" * 32, "2027-02-11"),
    *("2027-02-30", "0001-01-01", "9999-12-31", "480b2269ea1084c9"),
    *("e58c17b6572b718f", "run-to-the-lantern", "run-to-the-lantern.rhythms.long-short", "[a, b]"),
    *("[]", "48", "600", "601", "-3", "1e9", "quarter", "3/8", "0/8", "9" * 400, "99", "100"),
    *('"word"', '"\\""', '"\\u0041"', '"' + "w" * 30_000 + '"'),
    *("{a: b}", "&a x", "*a", "!!python/name:os"),
)  # fmt: skip


def broken_log(chance: random.Random) -> bytes:
    """The bytes of one log."""
    text = DEMO_LOG.read_text("utf-8")
    lines = text.splitlines()
    if chance.random() < 0.5:
        lines = lines[:4] + chance.sample(lines[4:], chance.randrange(len(lines) - 4))
    for _ in range(chance.choice((0, 1, 1, 3))):
        lines.insert(chance.randrange(len(lines) + 1), _line(lines, chance))
    text = chance.choice(("\n", "\n", "\n", "\r\n", "\r")).join(lines) + "\n"
    return text.encode("utf-8") if chance.random() < 0.2 else broken_text(text, chance)


def _line(lines: list[str], chance: random.Random) -> str:
    if chance.random() < 0.3:
        return chance.choice((*lines, *WORDS))
    keys = chance.sample(_KEYS, chance.randrange(1, 7))
    if chance.random() < 0.7:
        keys = ["id", "day", "piece", "student", *(key for key in keys if key not in _KEYS[:4])]
    values = {
        "id": f"{chance.getrandbits(128):032x}",
        "day": f"2027-02-{chance.randint(1, 28):02}",
        "piece": "480b2269ea1084c9",
        "student": "e58c17b6572b718f",
    }
    pairs = (
        (key, values[key] if key in values and chance.random() < 0.9 else chance.choice(_VALUES))
        for key in keys
    )
    return "- {" + ", ".join(f"{key}: {text}" for key, text in pairs) + "}"
