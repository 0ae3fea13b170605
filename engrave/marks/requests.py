"""The drills that a passage asks for.

Enters: the list at ``drills:``, family names and mappings that give a family its options, and what
each family takes. Leaves: ``DrillRequest`` values.
"""

from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import cached_property

from engrave.errors import EngraveError
from engrave.marks.model import EVERYTHING, DrillRequest, Placed
from engrave.marks.nodes import BETWEEN_COMMAS, List, Node, Table, Text, is_empty, words_of
from engrave.marks.options import Families, Options, read_options
from engrave.marks.readers import Errors, Form, Reader, expect, value
from engrave.marks.scalars import name
from engrave.marks.tables import FAMILY_NAMES
from engrave.marks.tempos import below_goal, not_below_start
from engrave.words import LANGUAGES, say_family


def drills(families: Families) -> Reader[tuple[DrillRequest, ...]]:
    """The requests in the order of the file; no family twice."""
    called = _Called(families)
    known = value(name("drill family", families, called))

    def read(node: Node, errors: Errors) -> tuple[DrillRequest, ...] | None:
        if isinstance(node, Text) and called.meant(node.text) == EVERYTHING:
            return (DrillRequest(EVERYTHING, source=node.source),)
        if isinstance(node, Text) and called.meant(node.text) not in families:  # several in a row
            node = List(_words_of(node), node.source)
        elif isinstance(node, Text | Table):  # one family; families with their options, no dash
            node = List((node,), node.source)
        hint = "put the families in brackets: [rhythms, blocks]"
        listed = expect(List, node, errors, hint)
        if listed is None:
            return None
        if not listed.items:
            hint = "name a family, or leave out drills: to let the passage decide"
            errors.append(EngraveError("no drills stand here", node.source, hint))
        requests: dict[str, DrillRequest] = {}
        for key, options in (pair for item in listed.items for pair in _families(item, errors)):
            family = known(key, errors)
            if family is None:
                continue
            if family in requests:
                message, hint = f"{family!r} is asked for twice", "put its options in one place"
                errors.append(EngraveError(message, key.source, hint))
            requests[family] = DrillRequest(
                family, _options(families[family], options, errors), key.source
            )
        return tuple(requests.values())

    return read


class _Called(Mapping[str, str]):
    """Families by other words, and by their names in every language, in lower case.

    The words of all languages are read when a word is met that is no family's own.
    """

    def __init__(self, families: Families) -> None:
        self._families = families

    @cached_property
    def _names(self) -> dict[str, str]:
        said = {
            say_family(family, language).lower(): family
            for language in LANGUAGES
            for family in self._families
        }
        return said | FAMILY_NAMES

    def __getitem__(self, word: str) -> str:
        return self._names[word]

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)

    def meant(self, text: str) -> str:
        """The family, or the word for all of them, that a text names; else the text."""
        word = " ".join(text.lower().split())
        return word if word in self._families or word == EVERYTHING else self.get(word, word)


def _words_of(text: Text) -> tuple[Node, ...]:
    """``rhythms, chain`` without brackets: each word a family, at its own place."""
    words = BETWEEN_COMMAS if "," in text.text else r"\S+"
    return tuple(words_of(text, words))


def _families(item: Node, errors: Errors) -> Iterator[tuple[Text, Node | None]]:
    if isinstance(item, Table):
        yield from item.entries
    elif text := expect(Text, item, errors, hint="a family, or {family: {option: …}}"):
        if " - " in text.text:  # taken for more of the line above
            message = "a dash below this one stands in another column"
            hint = "begin all entries of a list in one column"
            errors.append(EngraveError(message, text.source, hint))
        else:
            yield text, None


def _options(kind: type[Options], node: Node | None, errors: Errors) -> Options:
    if node is None or is_empty(node):
        return kind()
    with Form(node, errors, hint="{option: value}") as form:
        given = read_options(kind, form)

    def mark(name: str, value: Fraction | None) -> Placed[Fraction] | None:
        place = given.place(name)
        return Placed(value, place) if value is not None and place else None

    start, goal = mark("start", given.start), mark("goal", given.goal)
    reached = given.reached.mark if given.reached else None
    below_goal("start", start, goal, errors)
    below_goal("reached", reached, goal, errors)
    not_below_start(reached, start, errors)
    return given
