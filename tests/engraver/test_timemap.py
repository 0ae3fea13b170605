"""Verovio strikes what was written when the sheet's fractions say, to the millisecond."""

from dataclasses import replace
from fractions import Fraction

import pytest
import verovio
from hypothesis import Phase, given, settings

from engrave.music.sheet import Sheet
from engrave.notation import musicxml
from tests.engraver import gallery
from tests.notation.generated import sheets


def struck(sheet: Sheet) -> dict[str, Fraction]:
    """When each note begins, by its id, in quarters, those that are tied left out."""
    found = {}
    for start, (number, bar) in zip(sheet.starts, enumerate(sheet.bars), strict=True):
        for index, event in enumerate(bar.events):
            for tone, _ in enumerate(event.tones):
                if not event.tones[tone].tie_in:
                    found[f"b{number}-e{index}-t{tone}"] = start + event.offset
    return found


def strict(sheet: Sheet) -> Sheet:
    """The sheet without what verovio plays freely: grace notes, rolled chords, repeats."""
    bars = (
        replace(
            bar,
            events=tuple(replace(e, arpeggio=False) for e in bar.events if not e.grace),
            repeat_end=False,
            ending=None,
        )
        for bar in sheet.bars
    )
    return replace(sheet, bars=tuple(bars), spans=())


def check(sheet: Sheet) -> None:
    sheet = strict(sheet)
    toolkit = verovio.toolkit()
    assert toolkit.loadData(musicxml(sheet).decode())
    events = toolkit.renderToTimemap()
    tempo = next(event["tempo"] for event in events if "tempo" in event)
    heard = {id: event["tstamp"] for event in events for id in event.get("on", ())}
    for id, quarters in struck(sheet).items():
        assert heard[id] == pytest.approx(float(60000 * quarters / Fraction(tempo)), abs=1.0)


@pytest.mark.parametrize("made", gallery.ALL)
def test_the_gallery(made: gallery.Maker) -> None:
    check(made())


@settings(max_examples=40, deadline=None, derandomize=True, phases=[Phase.generate])
@given(sheets())
def test_generated_sheets(sheet: Sheet) -> None:
    check(sheet)
