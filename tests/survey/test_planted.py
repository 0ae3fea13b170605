"""Hard places planted in easy music are found, the hardest first."""

from collections.abc import Mapping, Sequence
from functools import cache
from math import ceil

import pytest

from engrave.music.sheet import Bar
from engrave.score import Score, read_score
from engrave.survey import Spot, Wanted, survey
from tests.survey.pieces import KINDS, LENGTH, Plant, easy, of_sheet, planted, score
from tests.works import corpus

PLACES = (28, 16, 6)
"""Where the plants go, the hardest last in the score: its order gives nothing away."""

REAL = {
    "aloha": ("liliuokalani/aloha_oe.mxl", 88, (11, 7, 17)),
    "accompaniment": ("schumann_robert/opus48no2.mxl", 66, (13, 7, 2)),
}
"""Easy real music, with a leisurely tempo in quarters, and three places in it."""


@cache
def real(name: str) -> Score:
    return read_score(corpus() / REAL[name][0])


def plants_at(kind: str, places: Sequence[int]) -> dict[int, Plant]:
    hardest_first = sorted(KINDS[kind], key=lambda plant: -plant.grade)
    return dict(zip(places, hardest_first, strict=True))


def found(bars: Sequence[Bar], spots: Sequence[Spot], names: Mapping[str, int]) -> list[int]:
    """For every spot the index of the plant in it, -1 for none."""
    order = {each.name: index for index, each in enumerate(bars)}
    result = []
    for spot in spots:
        first, last = order[spot.measures.first], order[spot.measures.last]
        inside = [
            plant
            for name, plant in names.items()
            if first <= order[name] + _taken(bars, order[name]) - 1 and last >= order[name]
        ]
        result.append(inside[0] if inside else -1)
    return result


def _taken(bars: Sequence[Bar], index: int) -> int:
    """How many bars a plant takes that begins with one."""
    return ceil(LENGTH / bars[index].meter.length)


def survey_planted(
    bars: Sequence[Bar], kind: str, places: Sequence[int], tempo: int
) -> tuple[list[int], int]:
    music = planted(bars, plants_at(kind, places))
    told = survey(score(music, tempo), wanted=Wanted(count=len(places)))
    names = {music[place].name: number for number, place in enumerate(places)}
    return found(music, told.spots, names), len(told.spots)


@pytest.mark.parametrize("kind", KINDS)
def test_plants_in_generated_music_are_found_in_order(kind: str) -> None:
    order, _ = survey_planted(easy(), kind, PLACES, 88)
    assert order == [0, 1, 2]


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", REAL)
def test_plants_in_real_music_are_found_in_order(kind: str, name: str) -> None:
    _, tempo, places = REAL[name]
    whole = real(name)
    music = planted(whole.sheet.bars, plants_at(kind, places))
    told = survey(of_sheet(type(whole.sheet)(tuple(music), whole.sheet.spans), tempo))
    names = {music[place].name: number for number, place in enumerate(places)}
    order = [plant for plant in found(music, told.spots, names) if plant >= 0]
    assert list(dict.fromkeys(order)) == [0, 1, 2]
    assert order[0] == found(music, told.spots[:1], names)[0]


def test_precision_and_recall(capsys: pytest.CaptureFixture[str]) -> None:
    """All kinds in one piece, three grades each; of the twelve hardest spots nearly all are
    plants, and nearly all plants are among them."""
    places = {kind: tuple(4 + 9 * (3 * n + k) for k in range(3)) for n, kind in enumerate(KINDS)}
    plants = {
        place: plant
        for kind, where in places.items()
        for place, plant in plants_at(kind, where).items()
    }
    music = planted(easy(112), plants)
    told = survey(score(music, 88), wanted=Wanted(count=len(plants)))
    names = {music[place].name: place for place in plants}
    hits = found(music, told.spots, names)
    right = [hit for hit in hits if hit >= 0]
    precision, recall = len(right) / len(hits), len(set(right)) / len(plants)
    with capsys.disabled():
        print(f"\nplanted passages: precision {precision:.2f}, recall {recall:.2f}", end=" ")
    assert precision >= 0.9
    assert recall >= 0.9
