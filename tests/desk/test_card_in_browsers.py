"""What the card of a passage writes: its drills, its state, fingers note by note; steps by keys."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.desk.on_desk import Person, on_desk
from tests.desk.test_desk_in_browsers import settled
from tests.pipeline.demo import lay_out
from tests.watch.browser import executable, open_page

pytestmark = pytest.mark.skipif(executable() is None, reason="no Chromium on this machine")


@pytest.fixture
def demo(tmp_path: Path) -> Path:
    return lay_out(tmp_path / "scores")


@pytest.fixture
def person(demo: Path, tmp_path: Path) -> Iterator[Person]:
    with on_desk(demo, tmp_path / "out") as (address, _), open_page(address) as page:
        found = Person(page)
        found.see(1366, 1024)
        settled(page, 4)
        yield found


def test_ticked_families_keep_the_options_of_the_others(person: Person, demo: Path) -> None:
    person.choose(0)
    person.press("#drill-accents")
    settled(person.page, 4)
    assert "- chain: {by: beat}" in demo.read_text("utf-8")
    person.press("#drill-rhythms")
    settled(person.page, 4)
    person.press("#drill-accents")
    settled(person.page, 4)
    person.press("#drill-chain")
    settled(person.page, 4)
    assert "chain" not in demo.read_text("utf-8").partition("fingering:")[0]
    person.press("#drill-outline")  # the passage alone gives way
    settled(person.page, 4)
    text = demo.read_text("utf-8").partition("fingering:")[0]
    assert "outline" in text
    assert "as-written" not in text


def test_what_is_learnt_has_no_word_of_its_own_and_steps_go_by_keys(
    person: Person, demo: Path
) -> None:
    page, text = person.page, demo.read_text("utf-8")
    person.choose(1)
    person.press("[name=field-passages-1-status][value=warm-up]")
    settled(page, 4)
    assert "    status: warm-up\n" in demo.read_text("utf-8")
    person.press("[name=field-passages-1-status][value=learning]")
    settled(page, 4)
    assert demo.read_text("utf-8") == text
    page.evaluate("document.activeElement.blur()")
    person.key("z", modifiers=2)
    settled(page, 4)
    assert "    status: warm-up\n" in demo.read_text("utf-8")
    person.key("z", modifiers=2)
    settled(page, 4)
    assert demo.read_text("utf-8") == text
    person.key("Z", modifiers=2 | 8)
    settled(page, 4)
    assert "    status: warm-up\n" in demo.read_text("utf-8")
    person.key("Z", modifiers=2 | 8)
    settled(page, 4)
    assert demo.read_text("utf-8") == text
    page.evaluate("document.querySelector('#field-passages-1-remarks').focus()")
    person.key("z", modifiers=2)  # within a text it is the text's own
    settled(page, 4)
    assert demo.read_text("utf-8") == text


def test_the_drills_beside_are_the_open_passages(person: Person) -> None:
    shown = """[...[...document.querySelectorAll('#drills > div')].at(-1).shadowRoot.children]
        .map((each) => each.dataset.id)"""
    assert len(person.page.evaluate(shown)) == 4
    person.choose(1)
    assert person.page.evaluate(shown) == ["climbing-chords"]


def test_chords_are_typed_from_the_lowest_key_up(person: Person, demo: Path) -> None:
    page = person.page
    person.choose(2)
    line = "import('./store.js').then(({ parts }) => parts.passages[2].lines.left)"
    counts = [len(onset["fingers"]) for onset in page.evaluate(line)]
    first = next(index for index, count in enumerate(counts) if count > 1)
    person.press("#finger-choice button:last-of-type")
    for _ in range(first):
        person.key("ArrowRight")
    at = "import('./store.js').then(({ chosen }) => [chosen.fingers.onset, chosen.fingers.typed])"
    person.key("4")
    assert page.evaluate(at) == [first, [4]]
    person.key("Backspace")
    assert page.evaluate(at) == [first, []]
    for digit in "521"[-counts[first] :]:
        person.key(digit)
    assert page.evaluate(at) == [first + 1, []]
    settled(page, 4)
    told = page.evaluate(line)[first]
    assert told["fingers"] == [int(digit) for digit in "521"[-counts[first] :]]
    assert set(told["from"]) == {"marks"}
    person.key("ArrowLeft")
    person.key(".")
    settled(page, 4)
    assert "marks" not in page.evaluate(line)[first]["from"]
