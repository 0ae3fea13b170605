"""The marks on the desk become what the page shows: passages, mistakes, drills, what to mark.

Enters: a manuscript. Leaves: parts on the board, first what is known at once (where the passages
lie), then what takes a moment (the drills). Knows no requests.
"""

import gc
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from threading import Event

from engrave.booklet.preview import preview
from engrave.desk.beginning import ToBegin, beginning
from engrave.desk.board import Board
from engrave.desk.fields import path_at
from engrave.desk.manuscript import Manuscript
from engrave.desk.passages import Shown, passages_in, shown_passages, span_of
from engrave.desk.systems import Systems
from engrave.drills import OPTIONS
from engrave.errors import EngraveError, Mistakes, Source
from engrave.hands import divide
from engrave.machine.cache import Cache
from engrave.machine.raised import failure, mistakes_in
from engrave.marks import Marks, MarksMistakes, read_marks
from engrave.marks.model import Piece, Placed
from engrave.marks.score_path import score_path
from engrave.marks.spans import plain, read_spans
from engrave.marks.studio import whole_tree
from engrave.messages import in_language, message_of
from engrave.music.drill import Drill
from engrave.passage.model import Passage
from engrave.pipeline import keeping
from engrave.pipeline.checking import Checked, check
from engrave.pipeline.contents import book
from engrave.pipeline.drawing import pictures_of
from engrave.pipeline.styling import Job, page_style_of
from engrave.pipeline.terrain import survey_piece
from engrave.score import Score
from engrave.survey import Side, Terrain
from engrave.words import say_drill


class Work:
    """Everything that is made of one manuscript; ``due`` is set when there is more to do."""

    def __init__(
        self,
        manuscript: Manuscript,
        board: Board,
        job: Job,
        cache: Cache,
        begun: ToBegin | None = None,
    ) -> None:
        self.manuscript, self.board = manuscript, board
        self.systems: Systems | None = None
        self.drilled: dict[int, Passage] = {}
        self.drills: dict[str, Drill] = {}
        self.due = Event()
        self._job, self._cache, self._begun = job, cache, begun
        self._guess: tuple[object, str] = (None, "")
        self._score_key: object = None
        self._shown_drills: set[str] = set()
        self._surveyed = False

    @property
    def language(self) -> str:
        """The language of the page: the marks', unless the command names one."""
        head = self.board.part("head")
        language = (head if isinstance(head, dict) else self.tree()).get("language")
        return self._job.language or (language if isinstance(language, str) else "en")

    def safely(self) -> None:
        """``once``; what is raised is told, also the tool's own: it may go at the next change."""
        version = self.manuscript.version
        self.board.put(isWorking=True)
        try:
            self.once()
        except Exception as raised:
            mistakes = mistakes_in(raised) or (failure(raised),)
            self._tell_mistakes(mistakes, self.manuscript.text)
        self.board.put(isWorking=False, madeOf=version)

    def once(self) -> None:
        """Bring the board up to date with what stands in the marks."""
        version, text = self.manuscript.version, self.manuscript.text
        self.tell_of_file()
        try:
            tree = plain(read_spans(text, str(self.manuscript.path)))
        except EngraveError as error:
            self._tell_mistakes([error], text, legible=False)
            return
        try:
            self._open_score(tree if isinstance(tree, dict) else {})
        except EngraveError as error:
            self._tell_mistakes([error], text)
            return
        if not self.manuscript.is_there:
            text, tree = self.manuscript.text, self.tree()
        whole = self.whole(tree)
        self.board.put(text=None, head=_head(tree), base=_head(whole))
        self._tell_passages(tree, whole)
        if self.manuscript.is_there:
            self._drill(tree, whole, text)
        else:
            self.board.put(mistakes=[], drills=[], notices=self._guessed(tree))
        if not self._surveyed and version == self.manuscript.version:
            self._surveyed = True
            self._propose()
        gc.collect()

    def tell_of_file(self) -> None:
        """Say whether everything is saved, and where."""
        held, problem = self.manuscript, self.manuscript.problem
        self.board.put(
            file={
                "name": held.path.name,
                "version": held.version,
                "isThere": held.is_there,
                "problem": in_language(problem.message, self.language) if problem else "",
                "canUndo": held.can_undo,
                "canRedo": held.can_redo,
            }
        )

    def tree(self) -> dict[str, object]:
        """The marks as they stand, without what they take from elsewhere; {} for illegible ones."""
        try:
            tree = plain(read_spans(self.manuscript.text, str(self.manuscript.path)))
        except EngraveError:
            return {}
        return tree if isinstance(tree, dict) else {}

    def _open_score(self, tree: Mapping[str, object]) -> None:
        """Read the score, once, and again when the marks name another or it has changed."""
        marks = _for_the_score(tree, self.manuscript.path)
        path = marks.score.value
        key = (path, marks.part and marks.part.value, marks.piece.movement, path.stat().st_mtime_ns)
        if key == self._score_key:
            return
        read, _differences = keeping.read_score(marks, self._cache)
        score = divide(read).score
        self.systems = Systems(score, self._cache)
        self._score_key, self._surveyed = key, False
        self._begin(score)
        self.board.put(score={"sha256": score.sha256, "title": marks.piece.title or score.title,
                              "composer": marks.piece.composer or score.composer,
                              "hands": 0})  # fmt: skip

    def _begin(self, score: Score) -> None:
        """Have a file that is begun here say what the score says, and of what it says nothing."""
        if self._begun is None or self.manuscript.is_there:
            return
        begun = beginning(score, self._begun)
        self.manuscript.begin_with(begun.text)
        self._guess = (self.tree().get("tempo"), begun.guess)

    def _guessed(self, tree: object) -> list[str]:
        """What is to be told of the goal as long as it is the one that was put in here."""
        tempo, told = self._guess
        held = tree.get("tempo") if isinstance(tree, dict) else None
        return [told] if told and held == tempo else []

    def _take_hands(self, divided: Score) -> None:
        """Show the hands as the marks have them: the page asks for its notes again."""
        shown = self.board.part("score")
        if self.systems is None or self.systems.score.sheet == divided.sheet:
            return
        self.systems.score = divided
        if isinstance(shown, dict):
            self.board.put(score=shown | {"hands": shown["hands"] + 1})

    def _tell_passages(self, tree: object, whole: object) -> None:
        if self.systems is None:
            return
        score, beats, still = self.systems.score, self.systems.beats, self._still_true(whole)
        self.board.put(passages=shown_passages(tree, whole, score, beats, still))

    def whole(self, tree: object) -> object:
        """The tree with what it takes from another file."""
        if not isinstance(tree, dict) or "from" not in tree:
            return tree
        try:
            return whole_tree(self.manuscript.path)
        except EngraveError:
            return tree  # the reading of the marks tells

    def _still_true(self, whole: object) -> Mapping[int, Passage]:
        """The drilled passages whose place in the file still holds them."""
        before, fields = self.board.part("passages"), passages_in(whole)
        if not isinstance(before, list):
            return self.drilled
        same = {
            index
            for index, (old, new) in enumerate(zip(before, fields, strict=False))
            if isinstance(new, dict) and _placed_alike(old, new)
        }
        return {index: each for index, each in self.drilled.items() if index in same}

    def _drill(self, tree: object, whole: object, text: str) -> None:
        try:
            checked = check(self.manuscript.path, cache=self._cache)
        except Mistakes as mistakes:
            self._tell_mistakes(mistakes.errors, text)
            return
        self._take_hands(checked.score)
        by_id = {each.passage.id: each.passage for each in checked.passages}
        self.drilled = {
            index: by_id[mark.id]
            for index, mark in enumerate(checked.marks.passages)
            if mark.id in by_id
        }
        self._tell_passages(tree, whole)
        try:
            self._show_drills(checked)
        except Mistakes as mistakes:
            self._tell_mistakes(mistakes.errors, text)
            return
        language = self.language
        notices = [message_of(each, language) for each in dict.fromkeys(checked.notices)]
        self.board.put(mistakes=[], notices=[*self._guessed(tree), *notices])

    def _show_drills(self, checked: Checked) -> None:
        style = page_style_of(checked.marks, self._job, self._job.editions[0])
        pictures = pictures_of(checked.drills, checked.marks, style, self._cache)
        seen = preview(book(checked.marks, checked.score, checked.passages, pictures), style)
        gone = self._shown_drills - {id for id, _html in seen.passages}
        parts: dict[str, object] = {f"drills {id}": None for id in gone}
        parts |= {f"drills {id}": html for id, html in seen.passages}
        self.drills = {each.id: each for each in checked.drills}
        self.board.put(heard=[self._playable(each) for each in checked.drills])
        self.board.put(css=seen.css, drills=[id for id, _html in seen.passages], **parts)
        self._shown_drills = {id for id, _html in seen.passages}
        self._cache.trim()

    def _playable(self, drill: Drill) -> Shown:
        """A drill as the page lists it among those that can be heard."""
        marks = list(drill.ladder.marks)
        return {
            "id": drill.id,
            "passage": drill.passage,
            "name": say_drill(drill.family, drill.called, self.language),
            "hand": drill.hand,
            "marks": marks,
            "now": drill.ladder.next or marks[-1],
        }

    def _tell_mistakes(
        self, errors: Sequence[EngraveError], text: str, legible: bool = True
    ) -> None:
        file = str(self.manuscript.path)
        language = self.language
        told = [
            _mistake(error, text if _stands_in(error, file) else "", language) for error in errors
        ]
        self.board.put(mistakes=told, text=None if legible else text)

    def _propose(self) -> None:
        """What the survey would mark, where nothing is marked yet."""
        from engrave.survey.starting import HARD
        from engrave.survey.words import finding

        if self.systems is None:
            return
        score = self.systems.score
        marks = _for_the_score(self.tree(), self.manuscript.path)
        try:
            survey = survey_piece(marks, score, self._cache)
        except EngraveError:
            self.board.put(proposals=[])
            return
        proposals: list[Shown] = []
        hardest = max((spot.height for spot in survey.spots), default=0.0)
        for spot in survey.spots:
            if spot.height < HARD * hardest:
                continue
            span = span_of(score, self.systems.beats, spot.measures)
            if span:
                proposals.append(
                    {
                        "measures": str(spot.measures),
                        "span": span,
                        "hand": spot.hand,
                        "said": " ".join(finding(spot, self.language)),
                    }
                )
        self.board.put(proposals=proposals, terrain=_heights(survey.terrain, self.systems))


def _heights(terrain: Terrain, systems: Systems) -> list[list[float]]:
    """How hard each beat is for the right hand and for the left, from 0 to 1."""
    sides = [terrain.height[side] for side in (Side.RIGHT, Side.LEFT)]
    highest = max((max(heights, default=0.0) for heights in sides), default=0.0) or 1.0
    by_start = {cell.start: index for index, cell in enumerate(terrain.cells)}
    found = [by_start.get(beat.time) for beat in systems.beats]
    return [
        [0.0 if index is None else round(heights[index] / highest, 2) for heights in sides]
        for index in found
    ]


def _placed_alike(old: Shown, new: Mapping[str, object]) -> bool:
    before = old["whole"]
    return isinstance(before, dict) and all(
        before.get(key) == new.get(key) for key in ("measures", "hand", "id")
    )


def _for_the_score(tree: Mapping[str, object], path: Path) -> Marks:
    """As much of the marks as says which music is meant, whatever else is wrong with them."""
    source = Source(str(path))
    marks = _read_whole(path) if "from" in tree else None
    if marks is not None:
        return replace(marks, passages=())
    score, part, piece = tree.get("score"), tree.get("part"), tree.get("piece")
    if not isinstance(score, str):
        raise EngraveError("the marks name no score", source, "score: rondo.musicxml")
    movement = piece.get("movement") if isinstance(piece, Mapping) else None
    counted = isinstance(movement, str) and movement.isascii() and movement.isdecimal()
    return Marks(
        file=path,
        source=source,
        score=Placed(score_path(score, path.parent), source),
        passages=(),
        part=Placed(part, source) if isinstance(part, str) else None,
        piece=Piece(movement=int(str(movement))) if counted else Piece(),
    )


def _read_whole(path: Path) -> Marks | None:
    """The marks with what they take from another file, as far as they are legible."""
    try:
        return read_marks(path, OPTIONS)
    except MarksMistakes as mistakes:
        return mistakes.legible
    except (EngraveError, Mistakes):
        return None


def _stands_in(error: EngraveError, file: str) -> bool:
    return error.source is not None and error.source.file == file and error.source.line > 0


def _head(tree: object) -> dict[str, object]:
    """What the file says of itself, beside its passages."""
    held = tree if isinstance(tree, dict) else {}
    return {key: value for key, value in held.items() if key != "passages"}


def _mistake(error: EngraveError, text: str, language: str) -> Shown:
    source = error.source
    path = path_at(text, source.line, source.column) if text and source else ()
    return {
        "message": in_language(error.message, language),
        "hint": in_language(error.hint, language),
        "place": str(source or ""),
        "line": source.line if source else 0,
        "path": list(path),
        "missing": list(error.missing),
    }
