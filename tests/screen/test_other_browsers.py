"""The screen edition in browsers of other families: it opens, plays in time, judges and keeps."""

from collections.abc import Callable
from contextlib import AbstractContextManager
from pathlib import Path

import pytest

from engrave.pipeline.checking import Checked
from engrave.sound import timeline
from tests.screen.others import Evaluate, firefox, in_firefox, in_webkit, webkit
from tests.screen.playing import CLOCK, compare, play_through

BROWSERS = [
    pytest.param(
        in_firefox, id="firefox", marks=pytest.mark.skipif(not firefox(), reason="no Firefox")
    ),
    pytest.param(
        in_webkit, id="webkit", marks=pytest.mark.skipif(not webkit(), reason="no WebKit")
    ),
]


@pytest.mark.parametrize("browser", BROWSERS)
def test_it_opens_lights_what_sounds_judges_and_keeps(
    browser: Callable[[Path], AbstractContextManager[Evaluate]], file: Path, checked: Checked
) -> None:
    with browser(file) as shown:
        shown(f"{CLOCK}, 0")
        lights_what_sounds(shown, checked)
        judges_and_keeps(shown)


def lights_what_sounds(shown: Evaluate, checked: Checked) -> None:
    assert shown("document.documentElement.className") == "live"
    for stop in (1, 2, len(checked.drills) - 1):
        drill = checked.drills[stop - 1]
        shown(f"document.querySelector('[data-go=\"{stop}\"]').click()")
        mark = int(shown("document.querySelector('.ladder [aria-current]').textContent"))
        heard = timeline(drill.sheet, drill.ladder, mark)
        compare(drill.id, heard, mark, shown(play_through(heard, mark)))


def judges_and_keeps(shown: Evaluate) -> None:
    shown("document.querySelector('[data-go=\"1\"]').click()")
    before = shown("document.querySelector('.ladder [aria-current]').textContent")
    for _ in range(3):
        shown("document.querySelector('[data-part=clean]').click()")
    assert shown("document.querySelector('.ladder [aria-current]').textContent") != before
    shown("[...document.querySelectorAll('[data-go]')].at(-1).click()")
    shown("document.querySelector('#record [data-part=copy]').click()")
    text = shown("document.querySelector('#record textarea').value")
    assert f"mark: {before}" in text
    assert "clean: 3" in text
    kept = shown("document.getElementById('kept').className")
    stored = shown("Object.keys(localStorage).some((each) => each.startsWith('engrave '))")
    assert kept == "" if stored else kept == "warning"
