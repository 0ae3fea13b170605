"""A second opinion on a score: verovio's own reading of the file, compared with ours.

Enters: the text of a score file, and the sheet that was read from it. Leaves: the measures in which
the two differ, by staff, with the keys that only one of them has. Knows nothing of music21.

verovio reads in a process of its own, so that it can work while the score is read here, and so that
a file at which it fails, hangs or crashes costs the second opinion and nothing else.
"""

import json
import subprocess
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path
from threading import Thread

from engrave.errors import EngraveError, Notice, Source
from engrave.music.sheet import Bar, Moment, Sheet

PATIENCE_SECONDS = 20
"""How long the second reader may take."""
_PROGRAM = Path(__file__).with_name("reader.py")

Keys = Counter[int]
"""MIDI key numbers of the notes printed in one measure on one staff, and how often each is."""


@dataclass(frozen=True, slots=True)
class Heard:
    """One measure as the second reader has it: its name, and its keys by staff from 1."""

    name: str
    keys: dict[int, Keys]


@dataclass(frozen=True, slots=True)
class Difference:
    """A measure and staff on which the readings differ; ``bar`` is the index in our sheet.

    ``ours_alone`` and ``theirs_alone`` are the MIDI key numbers that the other does not have.
    """

    bar: int
    measure: str
    staff: int
    ours_alone: tuple[int, ...]
    theirs_alone: tuple[int, ...]


class SecondReader:
    """verovio at work on a file, from now on; ``measures`` waits for what it finds."""

    def __init__(self, text: str) -> None:
        self._said: list[bytes] = []
        self._process = _reader()
        self._thread = Thread(target=self._converse, args=(text.encode("utf-8"),), daemon=True)
        self._thread.start()

    def _converse(self, text: bytes) -> None:
        if self._process is None:
            return
        try:
            self._said.append(self._process.communicate(text, timeout=PATIENCE_SECONDS)[0])
        except subprocess.TimeoutExpired:
            self._process.kill()
            self._process.communicate()

    def stop(self) -> None:
        """End the reading: nobody will ask for it."""
        if self._process is not None:
            self._process.kill()
        self._thread.join()

    @property
    def came_to_its_end(self) -> bool:
        """Whether it gave an answer of its own: it was not killed, and there was time enough."""
        self._thread.join()
        return self._process is not None and bool(self._said) and self._process.returncode >= 0

    def measures(self) -> tuple[Heard, ...] | None:
        """The measures of the file in order; None where verovio could not read it."""
        self._thread.join()
        if self._process is None or self._process.returncode != 0 or not self._said:
            return None
        return tuple(
            Heard(name, {int(staff): Counter(keys) for staff, keys in staves.items()})
            for name, staves in json.loads(self._said[0])
        )


def _reader() -> "subprocess.Popen[bytes] | None":
    """The process that reads; None where no more may be had."""
    try:
        return subprocess.Popen(  # -P: no module out of the user's own folder
            [sys.executable, "-P", str(_PROGRAM), str(PATIENCE_SECONDS + 1)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
    except OSError:
        return None


def compare(
    heard: Sequence[Heard], sheet: Sheet, staves: Sequence[Sequence[int]], first_bar: int = 0
) -> tuple[Difference, ...]:
    """Where the readings differ. ``staves`` and ``first_bar`` say which of the file's ours are."""
    partners = _partners(sheet.bars, heard[first_bar:], is_all=first_bar == 0)
    return tuple(
        difference
        for index, (bar, partner) in enumerate(zip(sheet.bars, partners, strict=True))
        for staff, theirs in enumerate(staves, start=1)
        if (difference := _difference(index, bar, staff, partner, theirs))
    )


def touched(
    differences: Sequence[Difference], start: Moment, end: Moment
) -> tuple[Difference, ...]:
    """The differences in measures of which a passage from ``start`` to ``end`` takes a part."""
    return tuple(each for each in differences if start.bar <= each.bar <= end.bar)


def notices(differences: Sequence[Difference], file: str) -> tuple[Notice, ...]:
    """What the user is told of the differences, if there are any."""
    if not differences:
        return ()
    places = dict.fromkeys(f"{each.measure} ({_staff(each)})" for each in differences)
    shown = ", ".join(list(places)[:8])
    more = f" and {len(places) - 8} more" if len(places) > 8 else ""
    text = (
        f"two readers of the file find different notes in measure {shown}{more}: compare with the "
        "print; passages there are not built"
    )
    return (Notice(text, Source(file)),)


def refusal(differences: Sequence[Difference]) -> EngraveError:
    """The error for a passage that these differences touch."""
    first = differences[0]
    reasons = [
        f"{who} has {', '.join(_key_name(key) for key in keys)}"
        for who, keys in (("one", first.ours_alone), ("the other", first.theirs_alone))
        if keys
    ]
    return EngraveError(
        f"measure {first.measure}, {_staff(first)}: two readers of the score find different "
        f"notes, and {' and '.join(reasons)}",
        hint="compare the measure with the print, mend it in the score (exporting that as MusicXML "
        "from the program that made it usually settles it), or mark measures without it",
    )


_STAFF = {1: "upper staff", 2: "lower staff"}


def _staff(difference: Difference) -> str:
    return _STAFF.get(difference.staff, f"staff {difference.staff}")


def _partners(bars: Sequence[Bar], heard: Sequence[Heard], is_all: bool) -> Sequence[Heard | None]:
    """For each of our bars the other reader's: by order, or by name where their number differs."""
    if len(bars) == len(heard) or (not is_all and len(bars) <= len(heard)):
        return heard[: len(bars)]
    partners: list[Heard | None] = [None] * len(bars)
    names = [bar.name for bar in bars], [measure.name for measure in heard]
    for block in SequenceMatcher(None, *names, autojunk=False).get_matching_blocks():
        partners[block.a : block.a + block.size] = heard[block.b : block.b + block.size]
    return partners


def _difference(
    index: int, bar: Bar, staff: int, partner: Heard | None, theirs: Sequence[int]
) -> Difference | None:
    keys = Counter(
        tone.pitch.midi for event in bar.events if event.staff == staff for tone in event.tones
    )
    other = Counter[int]()
    for number in theirs if partner else ():
        other += partner.keys.get(number, Counter()) if partner else Counter()
    if keys == other:
        return None
    ours_alone, theirs_alone = sorted((keys - other).elements()), sorted((other - keys).elements())
    return Difference(index, bar.name, staff, tuple(ours_alone), tuple(theirs_alone))


def _key_name(key: int) -> str:
    names = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
    return f"{names[key % 12]}{key // 12 - 1}"
