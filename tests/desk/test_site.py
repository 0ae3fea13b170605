"""Who may change the marks, and with what: every known attack, and whatever else may be sent."""

import http.client
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import cast
from urllib.parse import urlsplit

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from engrave.desk.board import Board
from engrave.desk.manuscript import Manuscript
from engrave.desk.opening import opened
from engrave.desk.site import DeskSite, desk_files, desk_words
from engrave.desk.working import Work
from engrave.machine.cache import NO_CACHE
from engrave.machine.loopback import MOST_SENT, LoopbackServer
from engrave.notation import musicxml
from engrave.pipeline.styling import Job
from tests.pipeline.demo import lay_out
from tests.survey.pieces import KINDS, easy, planted, score


@dataclass
class Desk:
    """A desk that answers, its marks file, and how often it was asked to end."""

    server: LoopbackServer
    site: DeskSite
    marks: Path
    work: Work
    ended: list[bool]

    def send(self, path: str, body: bytes, **headers: str) -> tuple[int, bytes]:
        """POST as a page of the desk would, but for ``headers``."""
        own = {
            "Origin": f"http://127.0.0.1:{self.server.port}",
            "Content-Type": "application/json",
        }
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        connection = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=60)
        where = urlsplit(self.server.address).path + path
        connection.request("POST", where, body, {**own, **named})
        answer = connection.getresponse()
        content = answer.read()
        connection.close()
        return answer.status, content

    def get(self, path: str) -> tuple[int, bytes]:
        connection = http.client.HTTPConnection("127.0.0.1", self.server.port, timeout=60)
        connection.request("GET", urlsplit(self.server.address).path + path)
        answer = connection.getresponse()
        content = answer.read()
        connection.close()
        return answer.status, content


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    marks = lay_out(tmp_path_factory.mktemp("desk"))
    work = Work(Manuscript(marks), Board(), Job(), NO_CACHE)
    ended: list[bool] = []
    site = DeskSite(work, work.board, lambda: None, lambda _: None, lambda: ended.append(True))
    server = LoopbackServer(site)
    server.start()
    yield Desk(server, site, marks, work, ended)
    server.stop()


@pytest.mark.parametrize(
    ("raised", "said", "place"),
    [
        (PermissionError(13, "no way", "closed/x"), "it cannot be reached: no way", "closed/x"),
        (KeyError(7), "the tool failed: KeyError: 7", ""),
    ],
)
def test_what_is_raised_is_told_and_the_desk_goes_on(
    raised: Exception, said: str, place: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise raised

    work = Work(Manuscript(lay_out(tmp_path)), Board(), Job(), NO_CACHE)
    monkeypatch.setattr("engrave.pipeline.keeping.read_score", fail)
    work.safely()
    (mistake,) = cast(list[dict[str, str]], work.board.part("mistakes"))
    assert (mistake["message"], mistake["place"]) == (said, place)
    assert work.board.part("isWorking") is False


def change(path: list[object], value: object, base: int) -> bytes:
    return json.dumps({"edits": [[path, value]], "base": base}).encode()


def test_a_page_of_ours_changes_the_file(desk: Desk) -> None:
    before = desk.marks.read_bytes()
    version = desk.work.manuscript.version
    status, told = desk.send("change", change(["teacher"], "T. Q.", version))
    assert (status, json.loads(told)) == (200, {"version": version + 1})
    assert b"teacher: T. Q.\n" in desk.marks.read_bytes()
    assert desk.send("undo", json.dumps({"base": version + 1}).encode())[0] == 200
    assert desk.marks.read_bytes() == before


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Origin": "http://evil.example"}, 403),
        ({"Origin": "null"}, 403),
        ({"Origin": "http://127.0.0.1"}, 403),
        ({"Origin": "https://127.0.0.1:{port}"}, 403),
        ({"Host": "evil.example:{port}"}, 421),
        ({"Content_Type": "text/plain"}, 415),
        ({"Content_Type": "application/x-www-form-urlencoded"}, 415),
        ({"Content_Type": "multipart/form-data"}, 415),
    ],
)
def test_nobody_else_does(desk: Desk, headers: dict[str, str], status: int) -> None:
    """Other origins, another host name, a form of a page from elsewhere."""
    before = desk.marks.read_bytes()
    set_to = {name: value.format(port=desk.server.port) for name, value in headers.items()}
    body = change(["teacher"], "nobody", desk.work.manuscript.version)
    assert desk.send("change", body, **set_to)[0] == status
    assert desk.send("close", b"{}", **set_to)[0] == status
    assert desk.marks.read_bytes() == before
    assert desk.ended == []


def test_without_the_secret_nothing_is_changed(desk: Desk) -> None:
    connection = http.client.HTTPConnection("127.0.0.1", desk.server.port, timeout=60)
    own = {"Origin": f"http://127.0.0.1:{desk.server.port}", "Content-Type": "application/json"}
    connection.request("POST", "/guess/change", b"{}", own)
    assert connection.getresponse().status == 404


def test_a_huge_body_is_not_read(desk: Desk) -> None:
    assert desk.send("change", b" " * (MOST_SENT + 1))[0] == 413
    assert desk.send("change", b"{}", Content_Length="1" * 30)[0] == 413
    assert desk.send("change", b"{}", Content_Length="-5")[0] == 411
    deep = b'{"edits": [[["a"], ' + b"[" * 5000 + b"]" * 5000 + b']], "base": 0}'
    assert desk.send("change", deep)[0] in (400, 409)


def test_a_path_leads_nowhere_but_into_the_marks(desk: Desk) -> None:
    for path in ("pdf/../../etc/passwd", "system/../x", "words/../../en.toml", "score/1e9", "x.js"):
        assert desk.get(path)[0] == 404
    for path in ("../change", "change/..", "", "events"):
        assert desk.send(path, b"{}")[0] == 404


@pytest.mark.parametrize("index", [-1, -9, 10**30])
def test_a_place_before_the_first_or_far_beyond_the_last_is_refused(desk: Desk, index: int) -> None:
    before = desk.marks.read_bytes()
    body = change(["passages", index, "hand"], "left", desk.work.manuscript.version)
    assert desk.send("change", body)[0] == 400
    assert desk.marks.read_bytes() == before


def test_a_mark_with_script_in_it_stays_text(desk: Desk) -> None:
    hostile = "<script>alert(1)</script>\n: # - &a *b !c"
    version = desk.work.manuscript.version
    status, _ = desk.send("change", change(["passages", 0, "trouble"], hostile, version))
    assert status == 200
    desk.work.once()
    told = next(desk.site.events())
    assert told is not None
    html = json.loads(told)["drills run-to-the-lantern"]
    assert "<script" not in html
    assert "&lt;script&gt;" in html
    desk.send("undo", json.dumps({"base": version + 1}).encode())
    desk.work.once()


SCALARS = (
    st.none()
    | st.booleans()
    | st.integers(-3, 9)
    | st.floats(allow_nan=False)
    | st.text(max_size=9)
)
JSON = st.recursive(
    SCALARS,
    lambda inner: (
        st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=6), inner, max_size=4)
    ),
    max_leaves=12,
)
PATHS = st.lists(
    st.sampled_from(["passages", 0, 1, 9, -1, "hand", "fingering", "46.1", "student", ""])
    | st.text(max_size=5),
    max_size=5,
)
SENT = st.one_of(
    JSON,
    st.fixed_dictionaries(
        {"edits": st.lists(st.tuples(PATHS, JSON), max_size=3), "base": st.integers(0, 3)}
    ),
    st.fixed_dictionaries(
        {
            "passage": st.integers(-2, 9),
            "hand": st.sampled_from(["right", "left", "both", ""]) | JSON,
            "onset": st.integers(-2, 99),
            "word": st.text(max_size=6) | st.sampled_from(["1-3", ".", "6"]),
            "base": st.integers(0, 3),
        }
    ),
)
ACTIONS = ["change", "finger", "undo", "redo"]


@settings(max_examples=200)
@given(st.sampled_from(ACTIONS), SENT, st.booleans())
def test_whatever_is_sent_is_answered_and_the_file_stays_a_text(
    desk: Desk, action: str, sent: object, is_now: bool
) -> None:
    if isinstance(sent, dict) and is_now and "base" in sent:
        sent["base"] = desk.work.manuscript.version
    before = desk.marks.read_bytes()
    answer = desk.site.post(action, json.dumps(sent).encode())
    assert answer is not None
    assert answer.status in (200, 400, 409)
    if answer.status != 200:
        assert desk.marks.read_bytes() == before
    desk.marks.read_bytes().decode("utf-8")


@given(st.binary(max_size=40), st.sampled_from([*ACTIONS, "print"]))
def test_bytes_that_are_no_json_are_refused(desk: Desk, body: bytes, action: str) -> None:
    answer = desk.site.post(action, b"\xff" + body)
    assert answer is not None
    assert answer.status == 400


def test_both_languages_have_every_word_that_the_page_asks_for() -> None:
    scripts = "".join(
        content.decode() for name, (content, _) in desk_files().items() if name.endswith(".js")
    )
    english, german = desk_words("en"), desk_words("de")
    assert english.keys() == german.keys()
    for table in english:
        if isinstance(english[table], dict):
            held = english[table]
            assert held.keys() == german[table].keys()  # type: ignore[attr-defined]
    for key in re.findall(r'\bt\("([a-z]+\.[a-z-]+)"', scripts):
        table, name = key.split(".")
        assert name in english[table], key  # type: ignore[operator]


def test_an_unknown_language_is_answered_in_english() -> None:
    assert desk_words("../de")["language"] == "en"


def test_only_what_is_hard_is_proposed(tmp_path: Path) -> None:
    """A run among easy measures; these are none that give trouble because nothing else does."""
    path = tmp_path / "song.musicxml"
    bars = planted(easy(40), {8: KINDS["runs"][2]})
    path.write_bytes(musicxml(score(bars).sheet, title="Song"))
    start = opened(path)
    work = Work(Manuscript(start.marks, start.first_text), Board(), Job(), NO_CACHE)
    work.once()
    proposals = work.board.part("proposals")
    assert isinstance(proposals, list)
    assert [each["measures"].partition("-")[0].partition(".")[0] for each in proposals] == ["9"]
