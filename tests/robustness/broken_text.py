"""Texts with words, lines and bytes broken: at random, but the same for the same seed."""

import random
import re

from engrave.drills import OPTIONS

WORDS = (
    *("right", "left", "both", "rihgt", *OPTIONS, "0", "-1", "1", "12", "12.10", "999999"),
    *("1e309", "9" * 5000, "46-48", "46.1-48.1", "48-46", "0-3", "100-120", "1-3-5", "5-4-3-2-1"),
    *("yes", "no", "~", "null", "quarter", "dotted-quarter", "2027-03-14", "2027-13-40", "'", '"'),
    *("[", "{", "]", "}", ":", "- ", "&a", "*a", "!!python/object:os.system", "\x00", "\ufeff"),
    *("💩", "e\u0301", "\u202e", "<script>", "../../etc/passwd", "measures: 46-47\n", "? ", "|\n"),
    *("http://example.invalid/x.musicxml", "tempo: {goal: 1}\n", "passages", "score", "---\n"),
)


def broken_text(text: str, chance: random.Random) -> bytes:
    """The bytes of ``text`` with one to three things in it broken."""
    for _ in range(chance.choice((1, 1, 2, 3))):
        text = chance.choice(_TEXT_WAYS)(text, chance)
    encoding = chance.choice(("utf-8",) * 12 + ("utf-16", "utf-8-sig", "latin-1", "utf-7"))
    return _bytes_broken(text.encode(encoding, "replace"), chance)


def _last_word(text: str, chance: random.Random) -> str:
    lines, place = _line_of(text, chance)
    lines[place] = re.sub(
        r"(?<![\w.-])[\w.-]+(?=\W*$)", lambda _: chance.choice(WORDS), lines[place]
    )
    return "\n".join(lines)


def _line_twice(text: str, chance: random.Random) -> str:
    lines, place = _line_of(text, chance)
    lines.insert(place, chance.choice(lines))
    return "\n".join(lines)


def _line_lost(text: str, chance: random.Random) -> str:
    lines, place = _line_of(text, chance)
    return "\n".join(lines[:place] + lines[place + 1 :])


def _line_moved(text: str, chance: random.Random) -> str:
    lines, place = _line_of(text, chance)
    lines[place] = " " * chance.randrange(9) + lines[place].strip()
    return "\n".join(lines)


def _word_put_in(text: str, chance: random.Random) -> str:
    at = chance.randrange(len(text) + 1)
    return text[:at] + chance.choice(WORDS) + text[at:]


def _spliced(text: str, chance: random.Random) -> str:
    one, other = (chance.randrange(len(text) + 1) for _ in range(2))
    return text[:one] + text[other : other + chance.randrange(200)] + text[one:]


def _cut_off(text: str, chance: random.Random) -> str:
    return text[: chance.randrange(len(text) + 1)]


def _line_of(text: str, chance: random.Random) -> tuple[list[str], int]:
    lines = text.split("\n")
    return lines, chance.randrange(len(lines))


_TEXT_WAYS = (
    *(_last_word, _last_word, _line_twice, _line_lost, _line_moved),
    *(_word_put_in, _word_put_in, _spliced, _cut_off),
)


def _bytes_broken(data: bytes, chance: random.Random) -> bytes:
    if chance.random() < 0.1 and data:
        at = chance.randrange(len(data))
        data = data[:at] + bytes([chance.randrange(256)]) + data[at + 1 :]
    return data
