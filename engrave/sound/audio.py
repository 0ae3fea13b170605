"""A climb as an MP3 file, for players that know no MIDI.

Enters: a ``Climb``. Leaves: bytes, the same for the same climb. Needs the packages of the ``audio``
extra; what they do is arithmetic over samples, and the file's format.
"""

from importlib.util import find_spec
from io import BytesIO
from typing import Any

from engrave.errors import EngraveError
from engrave.sound.climbing import Climb
from engrave.sound.model import Timeline
from engrave.sound.tone import RATE, click, string

_NEEDED = ("numpy", "soundfile")
_STRING, _CLICK = 0.34, 0.5
_DAMPED = 0.06
_TAIL = 1.0


def refuse_without_audio() -> None:
    """Raise ``EngraveError`` where the packages of the extra are missing."""
    missing = [name for name in _NEEDED if find_spec(name) is None]
    if missing:
        raise EngraveError(
            f"audio files need {' and '.join(missing)}",
            hint="pip install numpy soundfile, or take MIDI files with --sound",
        )


def mp3(played: Climb) -> bytes:
    """The file, one channel."""
    import soundfile

    written = BytesIO()
    soundfile.write(written, samples(played), RATE, format="MP3", subtype="MPEG_LAYER_III")
    return written.getvalue()


def samples(played: Climb) -> Any:
    """What is heard, as one array between -1 and 1."""
    import numpy

    begins, total = [], 0.0
    for take in played.takes:
        begins.append(total)
        total += float(take.end - take.start) * _quarter(take.heard)
    mixed = numpy.zeros(int((total + _TAIL) * RATE))
    for begin, take in zip(begins, played.takes, strict=True):
        heard, quarter = take.heard, _quarter(take.heard)
        zero = begin + float(heard.count_in) * quarter
        for struck in heard.clicks:
            _add(mixed, _CLICK * click(struck.stress), zero + float(struck.time) * quarter)
        for each in heard.soundings:
            wave = _held(string(each.key), float(each.length) * quarter)
            loud = _STRING * (each.loudness / 127) ** 1.5
            _add(mixed, loud * wave, zero + float(each.start) * quarter)
    most = numpy.abs(mixed).max()
    return mixed / most * 0.98 if most > 0.98 else mixed


def _quarter(heard: Timeline) -> float:
    """Seconds of a quarter."""
    return 60 / (heard.mark * float(heard.unit))


def _held(wave: Any, seconds: float) -> Any:
    """A string until its damper comes down."""
    import numpy

    kept = wave[: int((seconds + 8 * _DAMPED) * RATE)].copy()
    up = int(seconds * RATE)
    if up < len(kept):
        kept[up:] *= numpy.exp(-numpy.arange(len(kept) - up) / (_DAMPED * RATE))
    return kept


def _add(mixed: Any, wave: Any, at: float) -> None:
    begin = max(0, round(at * RATE))
    end = min(len(mixed), begin + len(wave))
    mixed[begin:end] += wave[: end - begin]
