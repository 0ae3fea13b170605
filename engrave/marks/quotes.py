"""Quotation marks that are not closed where their text ends: told at the mark that opens it.

Enters: the text of a file that is no YAML. Leaves: what is wrong with its first faulty quotation
mark, and where. The library stumbles lines later, over what was swallowed. Knows where a quoted
text can begin and end, and nothing else of YAML.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

LONGEST_EXAMPLE = 40
DOUBLE = '"'

_QUOTED = re.compile(r""""(?:[^"\\]|\\.)*"|'(?:[^']|'')*'""", re.DOTALL)
_KEY_BELOW = re.compile(r"[\r\n][ \t]*(?:- |[\w.-]+:(?:[ \r\n]|$))")
_NEXT_ENTRY = re.compile(r",\s*[\w.\"'-]+:? |:(?:\s|$)|,\s|[\]}]")
_ELIDED = re.compile(
    r"'(?:tis|twas|twere|twill|em|til|till|cause|cos|round|neath|gainst|s|n|ne|nen|nem|ner"
    r"|rauf|runter|rein|raus|rum|ran|rüber|\d\ds?)\b",
    re.IGNORECASE,
)
"""Words that begin with an apostrophe, which is no quotation mark."""
_SAME_LINE = re.compile(r"[^\r\n]*")
_COMMENT = re.compile(r"\s+#.*")
_BLOCK_TEXT = re.compile(r"[|>][-+0-9]*[ \t]*(?:#[^\r\n]*)?(?=[\r\n])")


@dataclass(frozen=True, slots=True)
class Quoted:
    """A quoted text: where its marks stand, and how many brackets are open around it.

    ``end`` is behind the closing mark, None where there is none.
    """

    start: int
    end: int | None
    depth: int


def faulty_quote(text: str) -> tuple[int, str, str] | None:
    """Where the first faulty quotation mark stands, what is wrong with it, and what to do."""
    for quoted in quoted_texts(text):
        mark = text[quoted.start]
        if quoted.end is None or _swallows(text, quoted):
            if mark == "'" and _ELIDED.match(text, quoted.start):
                message = "an apostrophe at the beginning of a text opens a quotation mark"
                words = _rest_of(text, quoted, quoted.start).strip().replace(DOUBLE, "")
                hint = f"put it in double ones: {in_quotes(words, DOUBLE)}"
                return quoted.start, message, hint
            example = _beginning(text, quoted)
            hint = f"close it where the text ends: {example}"
            return quoted.start, f"the quotation mark {mark} that opens here is not closed", hint
        rest = _COMMENT.sub("", _SAME_LINE.match(text, quoted.end)[0])  # type: ignore[index]
        if _goes_on(rest, quoted.depth):
            whole = text[quoted.start + 1 : quoted.end] + _until_entry(rest, quoted)
            if mark == "'" and rest[0].isalnum() and text[quoted.end - 2].isalnum():
                message = "an apostrophe ends this text in single quotation marks"
                example = in_quotes(whole.strip().removesuffix(mark), '"')
                hint = f"put it in double ones: {example}"
            else:
                message = "this text goes on behind its quotation mark"
                hint = f"use the other kind around the whole of it: {_around(whole, mark)}"
            return quoted.start, message, hint
    return None


def quoted_texts(text: str) -> Iterator[Quoted]:
    """The quoted texts of a file, in order; after one that is never closed there are no more."""
    at, depth, begins = 0, 0, True
    while at < len(text):
        sign, after = text[at], text[at + 1 : at + 2]
        if sign in "\r\n":
            begins = True
        elif sign == "#" and (not at or text[at - 1].isspace()):
            at = _SAME_LINE.match(text, at).end()  # type: ignore[union-attr]
            continue
        elif begins and sign in "\"'":
            match = _QUOTED.match(text, at)
            yield Quoted(at, match.end() if match else None, depth)
            if not match:
                return
            at, begins = match.end(), False
            continue
        elif begins and not depth and (block := _BLOCK_TEXT.match(text, at)):
            at = _behind_block(text, block.end())
            continue
        elif begins and sign in "[{":
            depth += 1
        elif depth and sign in "]}":
            depth, begins = depth - 1, False
        elif (sign == "," and depth) or (sign in ":-?" and (not after or after.isspace())):
            begins = True
        elif not sign.isspace():
            begins = False
        at += 1


def _behind_block(text: str, at: int) -> int:
    """Behind the lines of a text that stands in lines of its own, deeper than its key."""
    line = text[:at].splitlines()[-1]
    indent = len(line) - len(line.lstrip(" "))
    deeper = re.compile(rf"(?:(?:\r\n|\r|\n)(?: {{{indent + 1},}}[^\r\n]*|[ \t]*(?=[\r\n]|$)))*")
    match = deeper.match(text, at)
    return match.end() if match else at


def _swallows(text: str, quoted: Quoted) -> bool:
    """Whether what stands between the marks is not one text: an entry or a line was swallowed."""
    assert quoted.end is not None
    inside = text[quoted.start + 1 : quoted.end - 1]
    if "\n" in inside or "\r" in inside:
        after = _SAME_LINE.match(text, quoted.end)[0]  # type: ignore[index]
        return bool(_KEY_BELOW.search(inside)) or _goes_on(after, quoted.depth)
    after = text[quoted.end : quoted.end + 1]
    begins_entry = bool(re.search(r"(?:,|:) *$|, *[\w.-]+: ", inside))
    return bool(quoted.depth) and begins_entry and (after.isalnum() or after in ".-")


def _goes_on(rest: str, depth: int) -> bool:
    """Whether a text goes on behind a quotation mark that should have ended it."""
    rest = _COMMENT.sub("", rest).strip()
    return bool(rest) and not rest.startswith((":", *(",]}" if depth else "")))


def _until_entry(rest: str, quoted: Quoted) -> str:
    if not quoted.depth:
        return rest.rstrip()
    match = _NEXT_ENTRY.search(rest)
    return rest[: match.start()] if match else rest.rstrip()


def _beginning(text: str, quoted: Quoted) -> str:
    """The first words behind an opening mark, closed where they may have been meant to end."""
    mark = text[quoted.start]
    words = _rest_of(text, quoted, quoted.start + 1).strip().rstrip(mark)
    if text[: quoted.start].rpartition("\n")[2].strip(" -") == "":  # a key
        words = words.partition(": ")[0]
    return in_quotes(words, mark)


def _rest_of(text: str, quoted: Quoted, start: int) -> str:
    """What stands from ``start`` to the end of the line or of the entry."""
    line = _COMMENT.sub("", _SAME_LINE.match(text, start)[0])  # type: ignore[index]
    return _until_entry(line, quoted)


def _around(text: str, mark: str) -> str:
    other = "'" if mark == '"' else '"'
    words = text.strip()
    if words.count(mark) % 2:
        words = words[:-1] if words.endswith(mark) else mark + words
    return in_quotes(words, other)


def in_quotes(words: str, mark: str) -> str:
    """The beginning of a text between quotation marks, as an example of what to write."""
    return f"{mark}{beginning(words)}{mark}"


def beginning(words: str) -> str:
    """As much of a text as an example shows."""
    return words[:LONGEST_EXAMPLE] + "…" * (len(words) > LONGEST_EXAMPLE)
