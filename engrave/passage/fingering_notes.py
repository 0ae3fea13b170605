"""The fingering notes of a passage: at most three sentences about what is unusual in its fingers.

Enters: fingered onsets of its hands. Leaves: facts, and ``Remark``s made of them. The words stand
in the word lists, table ``fingering``. What the printed digits say by themselves is not said again.
"""

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping, Sequence

from engrave.fingering import FIGURE, Unmet, alike
from engrave.fingering.hand import obstacles
from engrave.music.notes import FingerOrigin, Hand, Pitch
from engrave.music.onset import Onset
from engrave.passage.thumb_passes import thumb_passes
from engrave.remarks import Remark

NAMED_WIDTHS = (*range(1, 16), 21)
"""Letters of the intervals that have a name."""
MOST_NOTES = 3
"""Sentences a passage: a longer list is not read."""
MOST_NAMED = 3
"""Places that one note names; a longer list is counted."""
_USUAL_PASSES = 6
"""More thumb passes than these are a scale's: the digits show them, only measures are named."""
_LEAST_SHARED, _MOST_SHARED = 3, 6
"""Onsets, two alike on either side of each, from which a figure is worth a sentence; and measures
that one names."""


def origins(onsets: Sequence[Onset]) -> Counter[FingerOrigin]:
    """How many fingers the teacher, the score and this tool have set."""
    return Counter(tone.finger.origin for onset in onsets for tone in onset.tones if tone.finger)


def fingering_notes(
    lines: Mapping[Hand, Sequence[Onset]],
    stretch_mm: Mapping[Hand, float],
    broken: Mapping[Hand, Sequence[Unmet]],
) -> tuple[Remark, ...]:
    """The fingering notes of the lines of a passage, what is most unusual first.

    ``broken`` are the rules that bind and that the fingers of a hand do not meet.
    """
    notes = (
        *(_rolled_notes(line, hand, stretch_mm[hand]) for hand, line in lines.items()),
        *(_pass_notes(line, hand) for hand, line in lines.items()),
        *(_figure_notes(line, broken.get(hand, ()), hand) for hand, line in lines.items()),
        *(_shared_notes(line, hand) for hand, line in lines.items()),
        _origin_notes([onset for line in lines.values() for onset in line]),
    )
    return tuple(remark for remarks in notes for remark in remarks)[:MOST_NOTES]


def _rolled_notes(onsets: Sequence[Onset], hand: Hand, stretch_mm: float) -> Iterator[Remark]:
    rolled = [
        onset.measure
        for onset in onsets
        if obstacles(onset.pitches, onset.finger_numbers, hand, stretch_mm)
    ]
    if rolled:
        yield Remark.of("fingering.rolled", count=len(rolled), hand=hand, measures=_names(rolled))


def _pass_notes(onsets: Sequence[Onset], hand: Hand) -> Iterator[Remark]:
    """Where thumb and fingers change sides; of many passes the measures alone."""
    passes = thumb_passes(onsets, hand)
    if len(passes) > _USUAL_PASSES:
        measures = _names([onsets[each.onset].measure for each in passes])
        yield Remark.of("fingering.passes", hand=hand, count=len(passes), measures=_few(measures))
        return
    places: defaultdict[tuple[bool, int, str, int], list[str]] = defaultdict(list)
    for each in passes:
        name = each.under, each.finger, each.pitch.step, each.pitch.alter
        places[name].append(onsets[each.onset].measure)
    said = [
        Remark.of(
            "fingering.under-place" if under else "fingering.over-place",
            finger=finger,
            pitch=Pitch(step, alter, 4),
            measures=_names(found),
        )
        for (under, finger, step, alter), found in places.items()
    ]
    if len(said) > MOST_NAMED:
        more = Remark.of("fingering.more", count=len(said) - MOST_NAMED)
        said = [*said[:MOST_NAMED], more]
    if said:
        yield Remark.of("fingering.turns", hand=hand, places=tuple(said))


def _figure_notes(onsets: Sequence[Onset], broken: Sequence[Unmet], hand: Hand) -> Iterator[Remark]:
    """A figure that comes again with other fingers."""
    pairs = {
        (onsets[each.other].measure, onsets[each.onset].measure)
        for each in broken
        if each.rule == FIGURE
    }
    first = next(iter(sorted(pair for pair in pairs if len(set(pair)) > 1)), None)
    if first:
        yield Remark.of("fingering.otherwise", hand=hand, first=first[0], measure=first[1])


def _shared_notes(onsets: Sequence[Onset], hand: Hand) -> Iterator[Remark]:
    """Measures that share a figure and its fingers: what is learned in one holds in the others."""
    shared: defaultdict[str, Counter[str]] = defaultdict(Counter)
    for number, first in alike(onsets, hand):
        if onsets[number].measure != onsets[first].measure:
            shared[onsets[first].measure][onsets[number].measure] += 1
    for measure, others in shared.items():
        alike_in = [name for name, count in others.items() if count >= _LEAST_SHARED]
        if alike_in:
            yield Remark.of(
                "fingering.shared", hand=hand, measures=(measure, *alike_in)[:_MOST_SHARED]
            )
            return


def interval_of(white_keys: int) -> Remark:
    """A distance in white keys by the name of its interval: ``an octave`` for 7."""
    name = next((width for width in NAMED_WIDTHS if white_keys + 1 <= width), "more")
    return Remark.of(f"survey.finding.interval.{name}")


def _origin_notes(onsets: Sequence[Onset]) -> Iterator[Remark]:
    """Where the teacher's fingers stand among suggested ones."""
    marked = [
        onset.measure
        for onset in onsets
        if any(tone.finger and tone.finger.origin is FingerOrigin.MARKS for tone in onset.tones)
    ]
    counts = origins(onsets)
    if marked and len(counts) > 1:
        yield Remark.of("fingering.teachers", measures=_few(_names(marked)))


def _few(measures: Sequence[str]) -> Remark | tuple[str, ...]:
    """Measures by name, a long list by its ends."""
    if len(measures) <= MOST_NAMED:
        return tuple(measures)
    return Remark.of("fingering.from-to", first=measures[0], last=measures[-1])


def _names(measures: Sequence[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(measures))
