"""What is wrong with a text that is no YAML, said to somebody who never saw YAML.

Enters: the text, what its reader found and where. Leaves: the place of the slip, what it is and
what to write instead. The cause often stands above the place at which a reader gives up: a quote
or a bracket left open, a line in the wrong column.
"""

import re
from dataclasses import dataclass

from engrave.marks.columns import LINE, Slip, misplaced
from engrave.marks.quotes import beginning, faulty_quote, in_quotes
from engrave.marks.scalars import closest, uncurled
from engrave.marks.tables import KNOWN

_LINE_END = re.compile(r"\r\n|\r|\n")
_GLUED = re.compile(r"(?P<before> *(?:- +)?)(?P<key>[A-Za-z_]+):(?P<value>[^\s/:].*)")
_NO_COLON = re.compile(r"(?P<before> *(?:- +)?)(?P<key>[A-Za-z_]+)(?: +(?P<value>[^#\s].*?))?")
_HARD_SPACE = re.compile(" *(?:-|(?:- +)?[A-Za-z_]+:)?[\u00a0\u2007\u202f]")
_OTHER_DASH = re.compile("(?P<before> *)[–—•·*] +(?=[A-Za-z_]+: |[0-9])")
_OTHER_COMMENT = re.compile(r"(?P<before> *)(?://|;|--(?!-))")
_LAST_WORD = re.compile(r"[{,][^{,]*[\s;](?P<key>[A-Za-z_]+)$")
NEAR = 3
"""Lines: so far above the one at which a reader gives up a sign may have misled it."""
_EACH_LINE = "each line is a key, a colon, a space and a value: hand: right"

_PLAIN_WORDS = (
    (
        "are not allowed here",
        "a dash stands where no list can begin",
        "put a text that begins with a sign in quotes: {quoted}",
    ),
    (
        "expected <block end>",
        "this line does not belong to the one above it",
        "lines that belong together begin in one column; " + _EACH_LINE,
    ),
    ("<document start>", "this line does not belong to the one above it", _EACH_LINE),
    (
        "expected the node content",
        "a value is missing here",
        "put a text that begins with a sign in quotes: {quoted}",
    ),
    (
        "expected ',' or",
        "a comma is missing before this",
        "entries in brackets are parted by commas: [rhythms, blocks]",
    ),
    (
        "found character '\\t'",
        "a tab stands where none can",
        "delete it, and press the space bar instead",
    ),
    (
        "cannot start any token",
        "no value can begin with this sign",
        "put a text that begins with a sign in quotes: {quoted}",
    ),
    (
        "escape character",
        "between double quotes a backslash begins a special sign, and there is none like this",
        "use single quotes: {single}",
    ),
)
"""What the library's words mean, and what to do about it."""


@dataclass(frozen=True, slots=True)
class Where:
    """A place in a text, all from 0: ``index`` counts its characters, ``column`` the line's."""

    index: int
    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Found:
    """What a reader of YAML stumbled over, and where; ``began``: what it was reading, if it was."""

    problem: str
    at: Where
    began: Where | None


def slip(text: str, found: Found) -> Slip:
    """The slip behind what was ``found``: line and column from 0, what it is, what to do."""
    lines = _LINE_END.split(text)
    if odd := _odd_sign(lines, found.at.line):
        return odd
    quote = faulty_quote(text)
    if quote and quote[0] <= found.at.index:
        before = _LINE_END.split(text[: quote[0]])
        return len(before) - 1, len(before[-1]), quote[1], quote[2]
    return (
        _in_braces(lines, found)
        or _open_bracket(text, lines, found)
        or _colon(lines, found)
        or misplaced(lines, found.at.line)
        or _second_colon(lines, found)
        or _by_words(lines, found)
    )


def _odd_sign(lines: list[str], last: int) -> Slip | None:
    """A sign that looks like one of YAML's, or is one elsewhere: near the ``last`` line."""
    for number, line in list(enumerate(lines[: last + 1]))[-NEAR:]:
        if found := _HARD_SPACE.match(line):
            message = "this space is not a plain one, as copied texts have them"
            hint = "delete it, and press the space bar instead"
            return number, found.end() - 1, message, hint
        if found := _OTHER_DASH.match(line):
            hint = f"write - {line[found.end() :].strip()}"
            return number, found.end("before"), "a list is marked by plain hyphens", hint
        if found := _OTHER_COMMENT.match(line):
            hint = f"write # {line[found.end() :].strip()}"
            return number, found.end("before"), "remarks of your own begin with #", hint
    return None


def _in_braces(lines: list[str], found: Found) -> Slip | None:
    """A colon between braces, where a comma would have to be."""
    line = _line(lines, found)
    before, behind = line[: found.at.column], line[found.at.column :]
    if "expected ',' or" not in found.problem or not behind.startswith(":"):
        return None
    return _no_comma(before, found) or _second_in_braces(before, behind, found)


def _no_comma(before: str, found: Found) -> Slip | None:
    """A key between braces that nothing, or a semicolon, parts from the text before it."""
    word = _LAST_WORD.search(before)
    if not word or word["key"] not in KNOWN:
        return None
    hint = f"entries in braces are parted by commas: …, {word['key']}: …"
    return found.at.line, word.start("key"), "a comma is missing before this", hint


def _second_in_braces(before: str, behind: str, found: Found) -> Slip | None:
    """A text with a colon between braces."""
    key, colon, value = re.split("[{,]", before)[-1].partition(":")
    if not colon or not value.strip():
        return None
    whole = value + re.split("[,}]", behind)[0]
    hint = f"put a text that holds a colon in quotes: {key.strip()}: {_quoted(whole)}"
    return found.at.line, found.at.column, "a second colon stands in this line", hint


def _line(lines: list[str], found: Found) -> str:
    """The line at which the reader gave up; empty behind the last one."""
    return lines[found.at.line] if found.at.line < len(lines) else ""


def _open_bracket(text: str, lines: list[str], found: Found) -> Slip | None:
    """A bracket still open where another one is closed, or the next line begins its own."""
    if "expected ',' or" not in found.problem or found.began is None:
        return None
    here = _line(lines, found)
    sign = text[found.began.index]
    is_last = "<stream end>" in found.problem
    end = None
    if found.at.line == found.began.line and not is_last:
        if here[found.at.column : found.at.column + 1] != ("]" if sign == "{" else "}"):
            return None
        end = found.at.column
    elif here.strip() and not LINE.fullmatch(here.rstrip()) and not here.lstrip().startswith("- "):
        return None
    rest = lines[found.began.line][found.began.column : end].partition(" #")[0].rstrip(" ,")
    closed = beginning(rest) + ("}" if sign == "{" else "]")
    message = f"the bracket {sign} that opens here is not closed"
    return found.began.line, found.began.column, message, f"close it: {closed}"


def _colon(lines: list[str], found: Found) -> Slip | None:
    """A key whose colon, or the space behind it, is missing: in this line or the one above."""
    told = ("expected ':'", "mapping values", "<block end>")
    if not any(words in found.problem for words in told):
        return None
    last = (found.began or found.at).line
    for number in (last, found.at.line, found.at.line - 1):
        line = lines[number].rstrip() if 0 <= number < len(lines) else ""
        if glued := _GLUED.fullmatch(line):
            hint = f"write {glued['key']}: {beginning(glued['value'])}"
            column = len(glued["before"]) + len(glued["key"])
            return number, column, "a space is missing behind the colon", hint
    for number in (last, found.at.line - 1):
        line = lines[number].partition(" #")[0].rstrip() if 0 <= number < len(lines) else ""
        bare = _NO_COLON.fullmatch(line)
        if bare and "expected ':'" in found.problem and (more := _goes_on(lines, number, bare)):
            return more
        if bare and ("expected ':'" in found.problem or bare["key"] in KNOWN):
            value = (bare["value"] or "").lstrip("= ")
            hint = f"write {bare['key']}: {beginning(value or '…')}"
            return number, len(bare["before"]), "a colon is missing in this line", hint
    return None


def _goes_on(lines: list[str], number: int, bare: re.Match[str]) -> Slip | None:
    """A line that goes on with the text above it, and stands too far left for that."""
    above = LINE.fullmatch(lines[number - 1].rstrip()) if number else None
    text = above and (above["value"] or "").strip()
    if not above or not text or text[0] in "{[|>&*" or _is_like_a_key(bare["key"]):
        return None
    if above["key"] not in ("trouble", "remarks", "private", "title"):
        return None
    have, want = len(bare["before"]), len(above["indent"]) + len(above["dash"] or "") + 2
    hint = f"begin it with {want} spaces, if it goes on with {above['key']!r} in line {number}"
    return number, have, "this line has no key, and does not belong to the text above it", hint


def _is_like_a_key(word: str) -> bool:
    return word in KNOWN or (len(word) > 3 and closest(word, KNOWN) is not None)


def _second_colon(lines: list[str], found: Found) -> Slip | None:
    if "mapping values" not in found.problem:
        return None
    here = LINE.fullmatch(_line(lines, found).rstrip())
    if here is None or not (here["value"] or "").strip():
        return found.at.line, found.at.column, "a colon stands where none can", _EACH_LINE
    hint = f"put a text that holds a colon in quotes: {here['key']}: {_quoted(here['value'])}"
    return found.at.line, found.at.column, "a second colon stands in this line", hint


def _by_words(lines: list[str], found: Found) -> Slip:
    line = _line(lines, found)
    value = line.partition(": ")[2] or line[found.at.column :] or "…"
    single = in_quotes(value.strip().strip('"').replace("'", "''"), "'")
    for words, said, hint in _PLAIN_WORDS:
        if words in found.problem:
            hint = hint.replace("{quoted}", _quoted(value)).replace("{single}", single)
            return found.at.line, found.at.column, said, hint
    return found.at.line, found.at.column, "this cannot be read", _EACH_LINE


def _quoted(value: str) -> str:
    words = value.strip().partition(" #")[0].strip()
    words = uncurled(words)
    return in_quotes(words, "'" if '"' in words else '"')
