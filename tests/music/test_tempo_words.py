"""What tempo words stand for: the middles of the ranges on metronomes' dials (from memory; makers
differ), here written out once more."""

from fractions import Fraction

import pytest

from engrave.music.tempo_words import is_gradual, is_return, tempo_of_words

QUARTER = Fraction(1)

ITALIAN = (
    "larghissimo 40, grave 42, largo 48, lento 54, adagio 60, larghetto 62, adagietto 70, "
    "andante 80, andantino 88, moderato 104, allegretto 114, allegro 134, vivace 148, vivo 148, "
    "presto 178, prestissimo 200"
)
OTHERS = (
    "langsam 54, ruhig 66, gehend 80, mäßig 96, mässig 96, bewegt 116, munter 126, lebhaft 136, "
    "geschwind 144, rasch 148, schnell 152, lent 54, modéré 96, animé 132, vif 148, vite 152, "
    "slow 56, slowly 56, moderate 100, moderately 100, lively 132, fast 152"
)


@pytest.mark.parametrize("entry", f"{ITALIAN}, {OTHERS}".split(", "))
def test_a_word_alone(entry: str) -> None:
    word, per_minute = entry.split()
    assert tempo_of_words(word, QUARTER) == int(per_minute)
    assert tempo_of_words(word.capitalize(), QUARTER) == int(per_minute)


@pytest.mark.parametrize(
    ("text", "per_minute"),
    [
        ("Allegro moderato", 119),  # between 134 and 104
        ("Allegro ma non troppo", 119),
        ("Adagio ma non tanto", 82),
        ("Nicht schnell", 104),  # what is denied is moderate
        ("Nicht zu schnell", 104),
        ("Nicht zu langsam, lebhaft", 120),
        ("Ziemlich langsam", 54),
        ("Not too fast", 104),
        ("Pas trop vite", 104),
        ("più lento", None),  # said of another tempo
        ("Meno allegro", None),
        ("Noch mehr schnell", None),
        ("dolce", None),
        ("", None),
    ],
)
def test_words_together(text: str, per_minute: int | None) -> None:
    assert tempo_of_words(text, QUARTER) == per_minute


@pytest.mark.parametrize(
    ("beat", "quarters"),
    [
        (Fraction(1), 134),
        (Fraction(2), 190),  # 134 / 1.414 = 95 half notes a minute
        (Fraction(3, 2), Fraction(327, 2)),  # 134 / 1.225 = 109 dotted quarters
        (Fraction(1, 2), 95),  # 134 * 1.414 = 190 eighths
    ],
)
def test_a_longer_beat_is_slower_by_its_square_root(
    beat: Fraction, quarters: int | Fraction
) -> None:
    assert tempo_of_words("Allegro", beat) == quarters


@pytest.mark.parametrize(
    "text", ["rit.", "poco ritenuto", "rallentando", "accel.", "stringendo", "calando", "cédez"]
)
def test_changes_by_degrees(text: str) -> None:
    assert is_gradual(text)
    assert not is_return(text)


@pytest.mark.parametrize("text", ["a tempo", "Tempo I", "Tempo primo", "im Zeitmaß"])
def test_the_tempo_comes_back(text: str) -> None:
    assert is_return(text)
    assert not is_gradual(text)


@pytest.mark.parametrize("text", ["Allegro", "con spirito", "a piacere"])
def test_neither(text: str) -> None:
    assert not is_return(text)
    assert not is_gradual(text)
