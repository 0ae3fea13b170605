"""The whole command on broken input.

``python -m tests.robustness.fuzz --marks 10000 --scores 2000`` breaks so many files, sends every
one through ``engrave check``, and each tenth that passes through ``engrave build``. What must hold:
exit code 0 or 2, every line of an error in the agreed form, no traceback, no half-written output,
20 s of the processor a case, 1 GB in all. Seeds that fail are printed; those that failed once are
kept in ``test_fuzz.py``.
"""

import argparse
import contextlib
import io
import os
import random
import re
import resource
import shutil
import signal
import sys
import tempfile
import traceback
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import FrameType

from engrave.cli import main as engrave

SCORES = Path(__file__).parents[2] / "scores"
SECONDS, BYTES = 20, 2**30
LINE = re.compile(r"(.*: )?(error|warning): .+|  hint: .+|  .+|· .+|")

WORDS = (
    "right",
    "left",
    "both",
    "rihgt",
    "rhythms",
    "blocks",
    "leaps",
    "chain",
    "outline",
    "staccato",
    "other-hand",
    "accents",
    "bursts",
    "hands-apart",
    "as-written",
    "0",
    "-1",
    "1",
    "12",
    "12.10",
    "999999",
    "1e309",
    "46-48",
    "46.1-48.1",
    "48-46",
    "0-3",
    "100-120",
    "9",
    "8-9",
    "1-3-5",
    "5-4-3-2-1",
    "yes",
    "no",
    "~",
    "null",
    "quarter",
    "dotted-quarter",
    "2027-03-14",
    "2027-13-40",
    "'",
    '"',
    "[",
    "{",
    "]",
    "}",
    ":",
    "- ",
    "&a",
    "*a",
    "!!python/object:os.system",
    "\x00",
    "\ufeff",
    "💩",
    "<script>",
    "../../etc/passwd",
    "http://example.invalid/x.musicxml",
    "measures: 46-47\n",
    "tempo: {goal: 1}\n",
)
NUMBERS = (b"0", b"-1", b"1", b"7", b"17", b"999999999999", b"1e9", b"3.7", b"", b"x", b"nan")


class TooLongError(BaseException):
    """A case that took more than its time; no handler of the tool may swallow it."""


@dataclass(frozen=True, slots=True)
class Case:
    """One broken input: which kind, and the seed that makes it again."""

    kind: str
    seed: int


def mutated_marks(text: str, chance: random.Random) -> bytes:
    """The marks with a few words, lines or bytes changed."""
    for _ in range(chance.choice((1, 1, 2, 3))):
        lines = text.split("\n")
        place = chance.randrange(len(lines))
        way = chance.randrange(6)
        if way == 0:
            lines[place] = re.sub(r"[\w.-]+(?=\W*$)", lambda _: chance.choice(WORDS), lines[place])
        elif way == 1:
            lines.insert(place, lines[chance.randrange(len(lines))])
        elif way == 2:
            del lines[place]
        elif way == 3:
            lines[place] = " " * chance.randrange(9) + lines[place].strip()
        elif way == 4:
            at = chance.randrange(len(lines[place]) + 1)
            lines[place] = lines[place][:at] + chance.choice(WORDS) + lines[place][at:]
        else:
            lines = lines[: place + 1]
        text = "\n".join(lines)
    data = text.encode(chance.choice(("utf-8",) * 8 + ("utf-16", "utf-8-sig")), "replace")
    return data[: chance.randrange(len(data) + 1)] if chance.random() < 0.05 else data


def mutated_score(data: bytes, chance: random.Random) -> bytes:
    """The score with numbers changed, elements lost or doubled, bytes cut or flipped."""
    for _ in range(chance.choice((1, 1, 2, 4))):
        start = chance.randrange(len(data))
        way = chance.randrange(5)
        if way == 0:
            found = [*re.finditer(rb">(-?\d+)<", data[start : start + 4000])]
            if found:
                number = chance.choice(found)
                at = start + number.start(1)
                data = data[:at] + chance.choice(NUMBERS) + data[at + len(number[1]) :]
        elif way == 1:
            found = [*re.finditer(rb"<(\w[\w-]*)[^>]*>[^<]*</\1>", data[start : start + 4000])]
            if found:
                element = chance.choice(found)
                again = chance.choice((b"", element[0] * 2))
                data = data[: start + element.start()] + again + data[start + element.end() :]
        elif way == 2:
            data = data[:start] + data[start + chance.randrange(300) :]
        elif way == 3:
            data = data[:start] + bytes([chance.randrange(256)]) + data[start + 1 :]
        else:
            other = chance.randrange(len(data))
            data = data[:start] + data[other : other + chance.randrange(600)] + data[start:]
    return data[: chance.randrange(len(data))] if chance.random() < 0.1 else data


def problem(case: Case, folder: Path) -> str | None:
    """None where the case is dealt with as agreed, else what went wrong."""
    chance = random.Random(f"{case.kind}-{case.seed}")
    marks, score = folder / "lantern-rondo.yaml", folder / "lantern-rondo.musicxml"
    text = (SCORES / marks.name).read_text("utf-8")
    if case.kind == "marks":
        marks.write_bytes(mutated_marks(text, chance))
    else:
        marks.write_text(text, "utf-8")
        score.write_bytes(mutated_score((SCORES / score.name).read_bytes(), chance))
    code, told = run(["check", str(marks)])
    if code == 0 and case.seed % 10 == 0:
        code, told = run(["build", str(marks), "--out", str(folder / "out")])
        built = folder / "out" / marks.stem
        if code == 0 and not (built / "manifest.json").exists():
            return "built, but there is no manifest"
        if code == 2 and built.exists():
            return "refused, but there is output"
        shutil.rmtree(folder / "out", ignore_errors=True)
    if code not in (0, 2):
        return told
    odd = next((line for line in told.splitlines() if not LINE.fullmatch(line)), None)
    if odd is not None:
        return f"a line of another form: {odd!r}"
    return "refused without an error" if code == 2 and "error: " not in told else None


def run(arguments: Sequence[str]) -> tuple[int, str]:
    """The exit code and what was told; -1 with a traceback where something escaped."""
    told = io.StringIO()

    def stop(signal_: int, frame: FrameType | None) -> None:
        raise TooLongError

    signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, SECONDS)
    try:
        with contextlib.redirect_stderr(told), contextlib.redirect_stdout(io.StringIO()):
            return engrave(arguments), told.getvalue()
    except (Exception, SystemExit, TooLongError):
        return -1, traceback.format_exc(limit=-4)
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)


def failures(cases: Sequence[Case], counts: Counter[str]) -> Iterator[tuple[Case, str]]:
    """The cases that are not dealt with as agreed, each with what went wrong."""
    with tempfile.TemporaryDirectory() as name, _cache_in(Path(name) / "cache"):
        folder = Path(name) / "marks"
        folder.mkdir()
        for case in cases:
            if case.kind == "marks":
                shutil.copy(SCORES / "lantern-rondo.musicxml", folder)
            wrong = problem(case, folder)
            counts[f"{case.kind}: {'wrong' if wrong else 'as agreed'}"] += 1
            if wrong:
                yield case, wrong


@contextlib.contextmanager
def _cache_in(folder: Path) -> Iterator[None]:
    before = os.environ.get("XDG_CACHE_HOME")
    os.environ["XDG_CACHE_HOME"] = str(folder)
    try:
        yield
    finally:
        if before is None:
            del os.environ["XDG_CACHE_HOME"]
        else:
            os.environ["XDG_CACHE_HOME"] = before


def main() -> int:
    """Run as many cases as asked, print what failed and the counts."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--marks", type=int, default=200)
    parser.add_argument("--scores", type=int, default=50)
    parser.add_argument("--seed", type=int, default=1, help="the first seed")
    options = parser.parse_args()
    resource.setrlimit(resource.RLIMIT_AS, (4 * BYTES, 4 * BYTES))
    cases = [Case("marks", options.seed + i) for i in range(options.marks)]
    cases += [Case("score", options.seed + i) for i in range(options.scores)]
    counts: Counter[str] = Counter()
    for case, wrong in failures(cases, counts):
        print(f"{case.kind} {case.seed}: {wrong}", flush=True)
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024
    print(*(f"{name}: {count}" for name, count in sorted(counts.items())), sep="\n")
    print(f"peak: {peak / 2**20:.0f} MiB")
    return 1 if any("wrong" in name for name in counts) or peak > BYTES else 0


if __name__ == "__main__":
    sys.exit(main())
