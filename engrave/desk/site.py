"""What a page of the desk may ask and send.

Enters: requests, as paths and JSON. Leaves: answers; changes go to the manuscript, and word of them
to whoever makes the drills. Every request is read with care: a page is trusted to be ours, not to
be right.
"""

import json
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from http import HTTPStatus

from engrave.booklet import heard_values
from engrave.booklet.preview import page_files
from engrave.desk.board import Board
from engrave.desk.fingers import with_word
from engrave.desk.manuscript import Edit, Manuscript
from engrave.desk.passages import passages_in, places_of
from engrave.desk.systems import BoardSystem, checked_width
from engrave.desk.working import Work
from engrave.errors import EngraveError
from engrave.machine.loopback import Answer
from engrave.marks.editing import KeyPath
from engrave.marks.yaml_text import YamlValue
from engrave.messages import in_language
from engrave.words import TEMPLATES, words

MOST_CHANGES = 50
DEEPEST = 6
MOST_ITEMS = 10_000
"""Of a list in the marks."""
LONGEST_WORD = 40

LENT = ("player.js", "takes.js", "tone.js")
"""Of the screen edition's script: what plays a drill."""

_KINDS = {".js": "text/javascript", ".css": "text/css", ".html": "text/html"}

Sent = Mapping[str, object]


class ForeignRequest(Exception):
    """A request that no page of ours sends."""


class DeskSite:
    """The desk below one address. ``close`` is called when a page puts everything away."""

    def __init__(
        self,
        work: Work,
        board: Board,
        pdf: Callable[[], None],
        content: Callable[[str], bytes | None],
        close: Callable[[], None],
    ) -> None:
        self._work, self._board, self._close = work, board, close
        self._make_pdf, self._pdf = pdf, content
        self._files = desk_files()

    @property
    def manuscript(self) -> Manuscript:
        """The marks file that is being edited."""
        return self._work.manuscript

    def get(self, path: str) -> Answer | None:
        """A file of the page, its words, the score or one of its systems, the PDF."""
        head, _, rest = path.partition("/")
        if path in self._files:
            content, kind = self._files[path]
            return Answer(content, kind)
        if path == "words.json":
            return _json(desk_words(self._work.language))
        if head == "score":
            return self._score(rest)
        if head == "system":
            return self._system(*rest.split("/"))
        if head == "hear" and (drill := self._work.drills.get(rest)):
            return _json(heard_values(drill))
        if head == "pdf" and (pdf := self._pdf(rest)):
            return Answer(pdf, "application/pdf")
        return None

    def post(self, path: str, body: bytes) -> Answer | None:
        """A change, a finger, a step back or forward, the PDF, or the end."""
        action: Callable[[Sent], None] | None = {
            "change": self._change,
            "finger": self._finger,
            "undo": lambda sent: self.manuscript.undo(_number(sent, "base")),
            "redo": lambda sent: self.manuscript.redo(_number(sent, "base")),
            "print": lambda _sent: self._make_pdf(),
            "close": lambda _sent: self._close(),
        }.get(path)
        if action is None:
            return None
        try:
            sent = json.loads(body)
            if not isinstance(sent, dict):
                raise ForeignRequest
            action(sent)
        except EngraveError as error:
            self._work.tell_of_file()
            told = {"problem": self._said(error.message), "hint": self._said(error.hint)}
            return _json(told, HTTPStatus.CONFLICT)
        except (ForeignRequest, ValueError, RecursionError):
            return _json({"problem": "this page sent what cannot be read"}, HTTPStatus.BAD_REQUEST)
        self._work.tell_of_file()
        self._work.due.set()
        return _json({"version": self.manuscript.version})

    def _said(self, text: str) -> str:
        return in_language(text, self._work.language)

    def events(self) -> Iterator[str | None]:
        """What is on the board."""
        return self._board.news()

    def _score(self, width: str) -> Answer | None:
        systems, width_mm = self._work.systems, checked_width(width)
        if systems is None or width_mm is None:
            return None
        beats = [
            [beat.measure, beat.number, beat.is_first, beat.is_last, float(beat.time)]
            for beat in systems.beats
        ]
        return _json({"width": width_mm, "beats": beats, "firsts": systems.first_beats(width_mm)})

    def _system(self, width: str = "", number: str = "", *more: str) -> Answer | None:
        systems, width_mm = self._work.systems, checked_width(width)
        if systems is None or width_mm is None or more or not number.isdecimal():
            return None
        if len(number) > 6 or int(number) >= len(systems.plan(width_mm)):
            return None
        try:
            return _json(_shown(systems.system(width_mm, int(number))))
        except EngraveError as error:
            return _json({"problem": self._said(error.message)})

    def _change(self, sent: Sent) -> None:
        edits = sent.get("edits")
        if not isinstance(edits, list) or not 0 < len(edits) <= MOST_CHANGES:
            raise ForeignRequest
        self._make([_edit(each) for each in edits], _number(sent, "base"))

    def _make(self, changes: Sequence[Edit], base: int) -> None:
        """Make changes; where all passages are another file's, they are listed here first."""
        tree = self._work.tree()
        if "from" in tree and not passages_in(tree) and any(
            each.path[0] == "passages" for each in changes
        ):  # fmt: skip
            theirs = passages_in(self._work.whole(tree))
            listed: list[YamlValue] = [
                {"id": str(each["id"])}
                for each in theirs
                if isinstance(each, dict) and "id" in each
            ]
            if len(listed) == len(theirs):
                changes = [Edit(("passages",), listed), *changes]
        self.manuscript.change(changes, base)

    def _finger(self, sent: Sent) -> None:
        """The word of one onset of one hand of a passage."""
        index, hand = _number(sent, "passage"), sent.get("hand")
        onset, word = _number(sent, "onset"), sent.get("word")
        passage = self._work.drilled.get(index)
        if passage is None or hand not in ("right", "left"):
            raise ForeignRequest
        if not isinstance(word, str) or not 0 < len(word) <= LONGEST_WORD or len(word.split()) != 1:
            raise ForeignRequest
        places = places_of(passage, str(hand))
        if not 0 <= onset < len(places):
            raise ForeignRequest
        root, there = self._fingering(index, str(hand))
        changes = [
            Edit((*root, place), text)
            for place, text in with_word(there, places, onset, word).items()
        ]
        if changes:
            self._make(changes, _number(sent, "base"))

    def _fingering(self, index: int, hand: str) -> tuple[KeyPath, dict[str, str]]:
        """Where a hand's fingers stand in the file, and what stands there."""
        found = passages_in(self._work.whole(self._work.tree()))[index:]
        fields = found[0] if found and isinstance(found[0], dict) else {}
        held = fields.get("fingering")
        root: KeyPath = ("passages", index, "fingering")
        by_hand = isinstance(held, dict) and any(key in ("right", "left") for key in held)
        if by_hand or (not held and fields.get("hand", "both") == "both"):
            root = (*root, hand)
            held = held.get(hand) if isinstance(held, dict) else None
        texts = held if isinstance(held, dict) else {}
        return root, {key: text for key, text in texts.items() if isinstance(text, str)}


def desk_files() -> dict[str, tuple[bytes, str]]:
    """The page, its scripts and styles, and its fonts, by the path below the address."""
    fonts = {path: file for path, file in page_files().items() if path.startswith("font/")}
    folder = TEMPLATES / "desk"
    own = {
        "" if path.name == "page.html" else path.relative_to(folder).as_posix(): (
            path.read_bytes(),
            f"{_KINDS[path.suffix]}; charset=utf-8",
        )
        for path in sorted(folder.rglob("*"))
        if path.suffix in _KINDS
    }
    lent = {
        f"screen/{name}": (
            (TEMPLATES / "screen" / name).read_bytes(),
            f"{_KINDS['.js']}; charset=utf-8",
        )
        for name in LENT
    }
    return fonts | lent | own


def desk_words(language: str) -> dict[str, object]:
    """Every word of the page in ``language``, English where there is no such language."""
    file = TEMPLATES / f"desk/words/{language}.toml"
    known = file if file.is_file() and language.isalpha() else TEMPLATES / "desk/words/en.toml"
    said = tomllib.loads(known.read_text("utf-8"))
    return {**said, "language": known.stem, "family": dict(words(known.stem)["family"])}


def _shown(system: BoardSystem) -> dict[str, object]:
    picture = system.picture
    return {
        "svg": picture.svg.decode("utf-8"),
        "width": picture.width_mm,
        "height": picture.height_mm,
        "first": system.first,
        "edges": system.edges,
        "notes": [[*note.box, float(note.time), note.hand] for note in system.notes],
    }


def _edit(sent: object) -> Edit:
    if not isinstance(sent, list) or len(sent) != 2 or not isinstance(sent[0], list):
        raise ForeignRequest
    path, value = sent
    steps = [step for step in path if isinstance(step, str | int) and not isinstance(step, bool)]
    if len(steps) != len(path) or not 0 < len(path) <= DEEPEST:
        raise ForeignRequest
    if any(isinstance(step, int) and not 0 <= step < MOST_ITEMS for step in steps):
        raise ForeignRequest
    return Edit(tuple(steps), None if value is None else _written(value, DEEPEST))


def _written(value: object, levels: int) -> YamlValue:
    """Texts, lists and tables; numbers and yes or no as the texts that they are in a file."""
    if levels < 0:
        raise ForeignRequest
    if isinstance(value, str):
        return value
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{value:g}"
    if isinstance(value, list):
        return [_written(each, levels - 1) for each in value]
    if isinstance(value, dict):
        return {str(key): _written(each, levels - 1) for key, each in value.items()}
    raise ForeignRequest


def _number(sent: Sent, key: str) -> int:
    value = sent.get(key)
    if not isinstance(value, int) or isinstance(value, bool):
        raise ForeignRequest
    return value


def _json(value: object, status: HTTPStatus = HTTPStatus.OK) -> Answer:
    content = json.dumps(value, ensure_ascii=False).encode("utf-8")
    return Answer(content, "application/json; charset=utf-8", status)
