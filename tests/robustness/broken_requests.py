"""What might be sent to the desk by whoever finds it: the same for the same seed.

Half are requests as its pages send them, with any values; half are heads and bodies that no
browser sends.
"""

import json
import random
from dataclasses import dataclass

from tests.robustness.broken_marks import VALUES, Tree
from tests.robustness.broken_text import WORDS, broken_text

_ACTIONS = (*("change",) * 4, "finger", "finger", "undo", "redo", "print")
_PATHS = (
    *("", "words.json", "score/900"),
    *("score/1e9", "system/900/0", "system/900/99999999", "system/-1/x"),
    *("hear/run.rhythms.long-short", "hear/../x", "pdf/x"),
    *("pdf/../../etc/passwd", "page.html", "%00"),
    *("score/" + "9" * 400, "system/" + "/" * 900),
    *("..%2f..%2fetc%2fpasswd", "screen/player.js", "\u00e4"),
)  # fmt: skip
_STEPS = (
    *("passages", "passages", "passages", 0, 0, 1, -1, 9, 10**30, "hand", "drills", "fingering"),
    *("measures", "tempo", "goal", "trouble", "46.1"),
    *("right", "student", "log", "score", "", "x" * 99),
)  # fmt: skip


NOW = "now"
_SOUND: dict[str, tuple[Tree, ...]] = {
    "hand": ("right", "left", "both"),
    "measures": ("46.1-48.1", "12", "0-3", "46-200"),
    "trouble": ("the thumb", "", "a: b # c", "two\nlines", "\U0001d11e", "'\"", "- x", None),
    "remarks": ("slowly", "<b>", "x" * 3000, None),
    "tempo": ({"goal": 90}, {"goal": 90, "step": 2}, {"reached": 60}, None),
    "drills": (["rhythms"], ["blocks", {"chain": {"by": "beat"}}], [], None),
    "fingering": ({"46.1": "1 2 3"}, {"46.1": "1 . 9"}, None),
    "id": ("other", "a b", "run-to-the-lantern"),
    "status": ("done", "learning", "x"),
}
"""What a page may set in a passage."""


@dataclass(frozen=True, slots=True)
class Request:
    """What is sent: ``path`` below the secret, and the body of a POST; ``head`` as it is, if any.

    ``NOW`` in the body stands for the version that the marks have when it is sent.
    """

    path: str
    body: bytes | None = None
    head: bytes | None = None


def broken_requests(chance: random.Random) -> list[Request]:
    """What one page sends."""
    return [_request(chance) for _ in range(chance.choice((1, 2, 3, 6)))]


def _request(chance: random.Random) -> Request:
    way = chance.random()
    if way < 0.2:
        return Request(chance.choice(_PATHS))
    action = chance.choice(_ACTIONS)
    body = json.dumps(_sent(action, chance)).encode("utf-8", "replace")
    if way < 0.7:
        return Request(action, body)
    if way < 0.8:
        return Request(action, broken_text(body.decode(), chance))
    return Request(action, body, _head(len(body), chance))


def _sent(action: str, chance: random.Random) -> Tree:
    if chance.random() < 0.1:
        return chance.choice((*VALUES, _deep(chance.choice((5, 90, 900)))))
    sent: dict[str, Tree] = {
        "base": chance.choice((*(NOW,) * 12, 0, 1, -1, 10**30, "0", None, True))
    }
    if action == "change":
        sent["edits"] = [_edit(chance) for _ in range(chance.choice((0, 1, 1, 1, 2, 60)))]
    elif action == "finger":
        sent |= {
            "passage": chance.choice((0, 0, 0, 1, -1, 99, "0")),
            "hand": chance.choice(("right", "right", "left", "both", 3)),
            "onset": chance.choice((0, 1, 5, 8, -1, 10**9)),
            "word": chance.choice(("1", "3", ".", "1-3", "4>5", "6", "", "1 2", "x" * 50, None)),
        }
    if chance.random() < 0.1:
        sent[chance.choice(WORDS)] = chance.choice(VALUES)
    return sent


def _edit(chance: random.Random) -> Tree:
    if chance.random() < 0.5:
        key = chance.choice(tuple(_SOUND))
        odd = chance.choice((*VALUES, None, {"goal": 90}, ["rhythms"], _deep(20)))
        return [["passages", 0, key], odd if chance.random() < 0.4 else chance.choice(_SOUND[key])]
    path = [chance.choice(_STEPS) for _ in range(chance.choice((0, 1, 2, 3, 3, 3, 7)))]
    return [path, chance.choice((*VALUES, None, {"goal": 90}, ["rhythms"], _deep(20)))]


def _deep(levels: int) -> Tree:
    tree: Tree = "x"
    for _ in range(levels):
        tree = [tree]
    return tree


def _head(length: int, chance: random.Random) -> bytes:
    """Lines before a body, one of them odd; ``{port}`` and ``{secret}`` are put in by who sends."""
    lines = {
        "": "POST /{secret}/change HTTP/1.1",
        "Host": "127.0.0.1:{port}",
        "Origin": "http://127.0.0.1:{port}",
        "Content-Type": "application/json",
        "Content-Length": str(length),
    }
    odd = chance.choice(tuple(lines))
    lines[odd] = chance.choice(
        (
            *("", "x", "-1", "0", "9" * 30),
            *("\u0664", "null", "a" * 70_000, "127.0.0.1", "evil.example"),
            *("GET  /", "POST / HTTP/9.9", "\x00\x01"),
            *("TRACE * HTTP/1.1", "GET /{secret}/events", "\r\n"),
            *("GET /{secret}/../x HTTP/1.1", "PUT /{secret}/change HTTP/1.1", "POST //// HTTP/0.9"),
        )
    )  # fmt: skip
    if chance.random() < 0.2:
        lines["Transfer-Encoding"] = "chunked"
    if chance.random() < 0.1:
        lines |= {f"X-{number}": "y" * 99 for number in range(chance.choice((5, 150)))}
    said = "\r\n".join(f"{name}: {text}" if name else text for name, text in lines.items())
    return (said + "\r\n\r\n").encode("utf-8", "replace")
