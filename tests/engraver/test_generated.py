"""Whatever the music, it is engraved whole: every finger, every staff, inside the width."""

from hypothesis import HealthCheck, Phase, given, settings

from engrave.engraver import Style, engrave
from engrave.music.sheet import Sheet
from tests.engraver.test_fingers import figures_of
from tests.notation.generated import sheets

STYLE = Style(7.0, 170, 120)


@settings(
    max_examples=30,
    deadline=None,
    derandomize=True,
    phases=[Phase.generate],
    suppress_health_check=[HealthCheck.too_slow],
)
@given(sheets())
def test_generated_sheets(sheet: Sheet) -> None:
    engraving = engrave(sheet, STYLE)
    asked = sorted(
        (str(tone.finger.number), tone.finger.origin == "computed")
        for _, _, event in sheet.timed()
        for tone in event.tones
        if tone.finger
    )
    found = []
    for picture in engraving.pictures:
        assert picture.width_mm <= STYLE.width_mm + 0.01
        assert picture.height_mm <= STYLE.max_height_mm or picture.systems == 1
        assert picture.staves == 2 * picture.systems
        figures = figures_of(picture)
        places = [(x, y) for x, y, *_ in figures]
        assert len(set(places)) == len(places)
        found += [(figure, light) for *_, figure, light in figures]
    assert sorted(found) == asked
    assert engrave(sheet, STYLE) == engraving
