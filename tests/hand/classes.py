"""How often the model takes the finger that a print has, by kind of place.

Enters: prints and the model's fingers for each. Leaves: shares of 100 by class. Nothing is fitted.
"""

from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from engrave.music.onset import Onset
from tests.hand.printed import Digits, Print

Fingers = Sequence[tuple[int, ...]]


def shares(
    prints: Sequence[Print], fingers_of: Callable[[Print], Fingers]
) -> dict[str, tuple[float, int]]:
    """By class: of 100 printed digits, how many the model has too, and how many there are."""
    right, seen = Counter[str](), Counter[str]()
    for each in prints:
        fingers = fingers_of(each)
        for number, digits in enumerate(each.digits):
            for place, digit in enumerate(digits):
                if digit is None:
                    continue
                names = list(_classes(each.onsets, number, place, digits))
                seen.update(names)
                right.update(names if fingers[number][place] == digit else ())
    return {name: (100 * right[name] / seen[name], seen[name]) for name in sorted(seen)}


def _classes(onsets: Sequence[Onset], number: int, place: int, digits: Digits) -> Iterator[str]:
    yield "all"
    yield f"finger {digits[place]}"
    here = onsets[number]
    black = here.tones[place].pitch.is_black
    if black:
        yield "black keys"
        if digits[place] == 1:
            yield "thumb on black"
    if len(here.tones) == 1:
        yield "single notes"
    else:
        yield "chords"
        low, high = here.pitches[0].midi, here.pitches[-1].midi
        if len(here.tones) == 2 and high - low <= 4:
            yield "two keys to a third"
    if number and _rests(onsets, number):
        yield "after rests"
    if _is_trill(onsets, number):
        yield "trills"


def _rests(onsets: Sequence[Onset], number: int) -> bool:
    before = onsets[max(number - 40, 0) : number]
    return all(
        each.time + tone.length < onsets[number].time for each in before for tone in each.tones
    )


def _is_trill(onsets: Sequence[Onset], number: int) -> bool:
    """Whether two neighbouring keys alternate here: three strokes, this one among them."""
    keys = [tuple(pitch.midi for pitch in onset.pitches) for onset in onsets]
    for start in range(max(number - 2, 0), number + 1):
        three = keys[start : start + 3]
        if len(three) == 3 and all(len(each) == 1 for each in three):
            (one,), (other,), (again,) = three
            if one == again and 0 < abs(one - other) <= 2:
                return True
    return False


def shown(found: dict[str, tuple[float, int]]) -> str:
    """``all 62.8 (1999); black keys 60.9 (311); …``."""
    return "; ".join(f"{name} {share:.1f} ({count})" for name, (share, count) in found.items())
