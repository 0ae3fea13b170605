"""A log read: its entries, and every mistake at its line; half a file is half the entries."""

import re
from fractions import Fraction
from io import StringIO
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.errors import EngraveError, Mistakes
from engrave.log import Entry, Lesson, LogText, Practised, entry_line, joined, own_log, reading
from engrave.log.reading import read_log_bytes
from tests.log.entries import ENTRIES, PIECE, STUDENT, id_of

HEAD = "log: 1\nentries:\n"
WHOSE = f"piece: {PIECE}, student: {STUDENT}"


def line(number: int = 1, rest: str = "passage: run, minutes: 4", on: str = "2027-02-14") -> str:
    return f"- {{id: {id_of(number)}, day: {on}, {WHOSE}, {rest}}}\n"


def read(text: str | bytes) -> LogText:
    return read_log_bytes(text if isinstance(text, bytes) else text.encode(), "nell.log.yaml")


def told(log: LogText) -> list[str]:
    return [str(error).partition("\n")[0] for error in log.mistakes]


@given(st.lists(ENTRIES, max_size=8))
def test_what_is_written_is_read_back(entries: list[Entry]) -> None:
    text = joined(read(""), entries)
    assert set(read(text).entries) == set(entries)
    assert joined(read(text), entries) == text
    assert text.count("\n") == 2 + len(set(entries))


@settings(max_examples=40)
@given(ENTRIES)
def test_a_line_is_yaml_and_reads_the_same_by_the_yaml_reader(entry: Entry) -> None:
    """Written otherwise (quotes, spaces, a comment), the general reader finds the same entry."""
    from ruamel.yaml import YAML

    text = entry_line(entry)
    (loaded,) = YAML(typ="safe", pure=True).load(StringIO(HEAD + text))["entries"]
    assert str(loaded["day"]) == entry.day.isoformat()
    otherwise = text.replace("- {id: ", "-   { id: ", 1) + "  # a word"
    assert read(HEAD + otherwise + "\n").entries == (entry,)


def test_the_line_that_the_package_shows() -> None:
    shown = line(rest='drill: run.rhythms.long-short, mark: 66, beat: 3/2, clean: 3, word: "a, b"')
    (entry,) = read(HEAD + shown).entries
    assert isinstance(entry.what, Practised)
    assert (entry.what.mark, entry.what.word, entry.what.passage) == (66, "a, b", "run")
    assert entry.what.is_reached


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("log: 2\nentries:\n" + line(), "is of format 2"),
        ("piece: x\n", "no log"),
        ("# a comment alone\n", "no log"),
        (b"\xff\xfe", "UTF-8"),
    ],
)
def test_what_is_no_log_of_this_format_is_refused_whole(text: str | bytes, message: str) -> None:
    with pytest.raises(EngraveError, match=message):
        read(text)


def test_nothing_and_an_empty_list_are_logs_without_entries() -> None:
    texts = ["", "\n", "log: 1\n", HEAD, "log: 1\nentries: []\n"]
    for text in (*texts, "\ufeff" + HEAD.replace("\n", "\r\n")):
        assert read(text).entries == ()
        assert read(text).mistakes == ()
        assert read(joined(read(text), read(HEAD + line()).entries)).entries


MISTAKES = {
    "mark: 66": "unknown key 'mark'",
    "passage: run, mark: 66": "beat and clean missing",
    "passage: run, mark: 6, beat: quarter, clean: 3": "the mark cannot be 6",
    "passage: run, mark: 66, beat: minim, clean: 3": "unknown beat 'minim'",
    "passage: run, mark: 66, beat: quarter, clean: many": "clean must be a whole number",
    "passage: run, drill: run.rhythms.a": "drill and passage in one entry",
    "passage: run, feeling: bad": "unknown key 'feeling'",
    "passage: ../run": "cannot be an id",
    "drill: run": "is no drill",
    "passage: run, passage: run": "stands here twice",
    "passage: run, minutes: -1": "minutes must be a number",
    "withdraws: 12": "is no entry's id",
    "lesson: {run: 1}": "a list is wanted",
    "passage: run, word: [a]": "a single value is wanted",
    "passage: *run": "aliases",
    'passage: run, word: "half': "not closed",
}


@pytest.mark.parametrize("rest", MISTAKES)
def test_a_mistake_is_told_at_its_line_and_costs_no_other(rest: str) -> None:
    log = read(HEAD + line(1) + line(2, rest) + line(3))
    assert [entry.id for entry in log.entries] == [id_of(1), id_of(3)]
    assert log.mistakes
    assert all(text.startswith("nell.log.yaml:4:") for text in told(log))
    assert any(MISTAKES[rest] in text for text in told(log))


def test_a_hundred_mistakes_are_a_hundred_lines() -> None:
    kinds = list(MISTAKES)
    bad = [line(100 + number, kinds[number % len(kinds)]) for number in range(100)]
    good = [line(number) for number in range(100)]
    log = read(HEAD + "".join(f"{one}{other}" for one, other in zip(bad, good, strict=True)))
    assert [entry.id for entry in log.entries] == [id_of(number) for number in range(100)]
    places = {error.source.line for error in log.mistakes if error.source}
    assert places == set(range(3, 203, 2))


@given(st.lists(ENTRIES, min_size=1, max_size=6), st.data())
def test_half_a_file_is_the_whole_lines_of_it(entries: list[Entry], data: st.DataObject) -> None:
    whole = joined(read(""), entries).encode()
    cut = data.draw(st.integers(len(HEAD), len(whole)))
    half = read(whole[:cut])
    assert set(half.entries) <= set(entries)
    lines = whole[len(HEAD) : cut].split(b"\n")
    assert len(half.entries) >= len([each for each in lines[:-1] if each])
    assert len(half.mistakes) <= 2


def test_comments_stay_where_they_are() -> None:
    text = "# of Nell\nlog: 1\nentries:\n" + line(1, on="2027-03-01") + "# a good day\n" + line(2)
    text += "# the end\n"
    log = read(text)
    assert joined(log, log.entries) == (
        "# of Nell\nlog: 1\nentries:\n# a good day\n" + line(2) + line(1, on="2027-03-01")
        + "# the end\n"
    )  # fmt: skip


@given(st.lists(ENTRIES, min_size=1, max_size=4), st.data())
def test_whatever_stands_in_a_log_is_read_or_told(
    entries: list[Entry], data: st.DataObject
) -> None:
    """Bytes put in, left out or changed anywhere: an error, or mistakes, and never a crash."""
    text = bytearray(joined(read(""), entries).encode())
    for _ in range(data.draw(st.integers(1, 3))):
        at = data.draw(st.integers(0, len(text) - 1))
        text[at : at + data.draw(st.integers(0, 3))] = data.draw(st.binary(max_size=3))
    try:
        found = read(bytes(text))
    except EngraveError:
        return
    again = read(joined(found, ()))
    assert set(again.entries) == set(found.entries)


@pytest.mark.parametrize(
    ("rest", "word"),
    [
        ("passage: run, mark: 6, beat: quarter, clean: 3", "6, beat"),
        ("passage: run, feeling: bad", "feeling"),
        ("lesson: [run, b, x..y]", "x..y"),
        ("lesson: [x..y, run]", "x..y"),
        ("passage: run,  mark: 6, beat: quarter, clean: 3", "6, beat"),
        ("passage: run, word: [a]", "[a]"),
        ("passage: *run", "*run"),
    ],
)
def test_a_mistake_is_told_at_its_column(rest: str, word: str) -> None:
    """Of a line in either form: as the tool writes it, and in any other that YAML has."""
    text = line(2, rest)
    (error,) = read(HEAD + text).mistakes
    assert error.source is not None
    assert (error.source.line, error.source.column) == (3, text.index(word) + 1)


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("log: 1\n" + line(), (2, 1)),
        (HEAD + "run\n", (3, 1)),
        (HEAD + "- a\n", (3, 3)),
        (
            HEAD + line(1, 'passage: run, word: "ä\x07"'),
            (3, line(1, 'passage: run, word: "ä\x07"').index("\x07") + 1),
        ),
    ],
)
def test_what_is_no_entry_is_told_at_its_place(text: str, place: tuple[int, int]) -> None:
    (error,) = read(text).mistakes
    assert error.source is not None
    assert (error.source.line, error.source.column) == place


def test_a_byte_that_is_no_text_is_told_at_its_column() -> None:
    (error,) = read(HEAD.encode() + "- {id: ä".encode() + b"\xff}\n").mistakes
    assert error.source is not None
    assert (error.source.line, error.source.column) == (3, 9)


LIMITS = {
    "mark": (10, 600, "mark: {}, beat: quarter, clean: 3"),
    "clean": (0, 99, "mark: 66, beat: quarter, clean: {}"),
    "minutes": (0, 600, "minutes: {}"),
}
"""The least and the most of each figure, as the package says them."""


@pytest.mark.parametrize("name", LIMITS)
def test_figures_go_as_far_as_the_format_says(name: str) -> None:
    least, most, text = LIMITS[name]
    for figure, is_read in ((least - 1, False), (least, True), (most, True), (most + 1, False)):
        log = read(HEAD + line(1, f"passage: run, {text.format(figure)}"))
        assert (len(log.entries), bool(log.mistakes)) == (is_read, not is_read)


@pytest.mark.parametrize(
    ("beat", "unit"),
    [
        ("quarter", 1),
        ("dotted-half", 3),
        ("eighth", "1/2"),
        ("1/2", "1/2"),
        ("3", 3),
        ("99/8", "99/8"),
    ],
)
def test_a_beat_is_a_name_or_its_length_in_quarters(beat: str, unit: str | int) -> None:
    (entry,) = read(HEAD + line(1, f"passage: run, mark: 66, beat: {beat}, clean: 3")).entries
    assert isinstance(entry.what, Practised)
    assert entry.what.beat == Fraction(unit)


@pytest.mark.parametrize("beat", ["0", "1/0", "0/2", "100", "-1", "1/2/3"])
def test_a_beat_of_no_length_is_none(beat: str) -> None:
    log = read(HEAD + line(1, f"passage: run, mark: 66, beat: {beat}, clean: 3"))
    assert [f"unknown beat '{beat}'" in text for text in told(log)] == [True]


@pytest.mark.parametrize("missing", ["id", "day", "piece", "student"])
def test_an_entry_without_one_of_its_four_keys_is_told_and_not_read(missing: str) -> None:
    text = re.sub(rf"{missing}: [\w-]+, ", "", line())
    log = read(HEAD + text)
    assert log.entries == ()
    assert len(log.mistakes) == 1
    assert missing in str(log.mistakes[0])


def test_a_lesson_has_the_passages_of_its_booklet_and_those_that_were_done() -> None:
    (entry,) = read(HEAD + line(1, "lesson: [run, chords], done: [run]")).entries
    assert entry.what == Lesson(("run", "chords"), ("run",))
    (entry,) = read(HEAD + line(1, "lesson: []")).entries
    assert entry.what == Lesson((), ())


def test_as_many_ids_as_a_booklet_has_and_no_more() -> None:
    for number, is_read in ((200, True), (201, False)):
        ids = ", ".join(f"m{each}" for each in range(number))
        assert bool(read(HEAD + line(1, f"lesson: [{ids}]")).entries) is is_read


def test_a_drills_id_has_a_family_and_an_end() -> None:
    for length, is_read in ((200, True), (201, False)):
        drill = "run.rhythms.".ljust(length, "x")
        assert bool(read(HEAD + line(1, f"drill: {drill}")).entries) is is_read


def test_lines_beyond_the_longest_are_told() -> None:
    text = (
        HEAD
        + line()
        + "# "
        + "x" * 30_000
        + "\n"
        + line(2, f'passage: run, word: "{"x" * 20_000}"')
    )
    log = read(text)
    assert len(log.entries) == 1
    assert ["a line of 20," in each for each in told(log)] == [True]


def test_a_line_as_the_tool_writes_it_is_read_without_the_reader_of_yaml(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """A year of practice is thousands of lines; that reader takes a millisecond for each."""

    def refuse(*_: object) -> None:
        raise AssertionError("the slow way")

    monkeypatch.setattr(reading, "read_tree_of", refuse)
    text = HEAD + line(1) + line(2, 'drill: run.a, word: "a, b"') + line(3, "lesson: [a, b]")
    assert len(read(text + line(4, "lesson: []")).entries) == 4


def test_a_line_of_twenty_thousand_characters_is_read_and_one_longer_is_not() -> None:
    plain = line().rstrip("\n")
    for length, is_read in ((20_000, True), (20_001, False)):
        text = f"{plain}  # ".ljust(length, "x")
        assert bool(read(HEAD + text + "\n").entries) is is_read


def test_a_students_own_log_is_empty_before_it_is_there_and_whole_when_it_is(
    tmp_path: Path,
) -> None:
    path = tmp_path / "nell.log.yaml"
    assert own_log(path).entries == ()
    assert joined(own_log(path), ()) == HEAD
    path.write_text(HEAD + line(), "utf-8")
    assert [each.id for each in own_log(path).entries] == [id_of(1)]
    path.write_text(HEAD + line() + line(2, "mark: 66") + line(3, "lesson: {a: 1}"), "utf-8")
    with pytest.raises(Mistakes) as caught:
        own_log(path)
    assert len(caught.value.errors) >= 2
    path.write_text("log: 2\nentries:\n", "utf-8")
    with pytest.raises(Mistakes) as caught:
        own_log(path)
    assert ["format 2" in each.message for each in caught.value.errors] == [True]
