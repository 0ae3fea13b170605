"""The figures of leaps and blocks in the manifest, computed again from the keys.

Octave 165 mm, centre to centre; black keys by the equal-back model. Index of difficulty in its
Shannon form, log2(D/W + 1) (MacKenzie 1992), W the width of the landing key.
"""

from collections.abc import Iterator
from math import log2
from typing import Any

from tests.checks.manifest import DrillEntry, Pitch, SourceEntry, midi_of, parse_spelling

OCTAVE_MM = 165.0
WHITE_MM = OCTAVE_MM / 7
CENTRES = (0.5, 0.9, 1.5, 2.1, 2.5, 3.5, 3.857, 4.5, 5.0, 5.5, 6.143, 6.5)
"""Of the twelve keys from C, in white-key widths from the left edge of C."""
BLACK = (1, 3, 6, 8, 10)
KEY_MM = {"white": WHITE_MM, "black": 10.0}


def centre_mm(midi: int) -> float:
    octave, key = divmod(midi, 12)
    return octave * OCTAVE_MM + CENTRES[key] * WHITE_MM


def colour(midi: int) -> str:
    return "black" if midi % 12 in BLACK else "white"


def figure_findings(drill: DrillEntry, raw: dict[str, Any]) -> Iterator[str]:
    count = len(drill.source)
    for leap in raw.get("leaps", []):
        where = f"{drill.id}: leap {leap['from']} to {leap['to']}"
        if not (0 <= leap["from"] < count and 0 <= leap["to"] < count):
            yield f"{where}: there is no such note"
        else:
            ends = (drill.source[leap["from"]], drill.source[leap["to"]])
            yield from (f"{where}: {text}" for text in _leap(leap, *ends))
    for block in raw.get("blocks", []):
        if any(not 0 <= index < count for index in block["source"]):
            yield f"{drill.id}: a block of notes that are not there: {block['source']}"
        else:
            keys = {pitch for index in block["source"] for pitch in drill.source[index].pitches}
            if len(block["source"]) > 1:  # a chord by itself is as the score has it
                yield from (f"{drill.id}: {text}" for text in _block(keys))


def _leap(leap: dict[str, Any], start: SourceEntry, end: SourceEntry) -> Iterator[str]:
    """The displacement is that between its two keys; it lands where a finger does.

    Where both ends are fingered singly, it is that of the finger that lands: from its own key, or
    from where it would lie in five-finger position around the last key.
    """
    away, to = parse_spelling(leap["moved_from"]), parse_spelling(leap["moved_to"])
    distance = abs(centre_mm(midi_of(away)) - centre_mm(midi_of(to)))
    if abs(distance - leap["distance_mm"]) > 0.1:
        yield f"{leap['moved_from']} and {leap['moved_to']} are not {leap['distance_mm']} mm apart"
    if abs(letter(away) - letter(to)) != leap["distance_keys"]:
        yield f"{leap['distance_keys']} white keys, from {away} to {to}"
    index = log2(distance / KEY_MM[colour(midi_of(to))] + 1)
    if abs(leap["index_of_difficulty"] - index) > 0.01:
        yield f"index of difficulty {leap['index_of_difficulty']}, expected {index:.3f}"
    if leap["whole"] and len(start.pitches) == len(end.pitches) == 1:
        (before,), (after,) = start.fingers, end.fingers
        if before is not None and after is not None:
            outward = 1 if start.hand == "right" else -1
            stood = letter(start.pitches[0]) + outward * (after - before)
            if end.pitches[0] != to or letter(away) != stood:
                yield f"finger {before} to {after} is displaced from letter {stood}, not {away}"


def letter(pitch: Pitch) -> int:
    """Letters above C0."""
    return 7 * pitch[2] + "CDEFGAB".index(pitch[0])


def _block(keys: set[Pitch]) -> Iterator[str]:
    letters = [(step, octave) for step, _, octave in keys]
    if len(set(letters)) < len(letters):
        yield f"two alterations of one letter in one block: {sorted(keys)}"
    if len({midi_of(key) for key in keys}) > 5:
        yield f"a block of {len(keys)} keys for five fingers"
