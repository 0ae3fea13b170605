"""The drills that a passage asks for.

Enters: the list at ``drills:``, family names and mappings that give a family its options. Leaves:
``DrillRequest`` values. The options themselves are the families' (``schema.FAMILY_OPTIONS``).
"""

from collections.abc import Iterator
from fractions import Fraction

from engrave.errors import EngraveError, Source
from engrave.marks.model import DrillRequest, Placed
from engrave.marks.nodes import List, Node, Table, Text, is_empty
from engrave.marks.readers import Errors, Form, expect, value
from engrave.marks.scalars import name
from engrave.marks.schema import FAMILY_OPTIONS
from engrave.marks.tempos import below_goal, not_below_start

_family = value(name("drill family", FAMILY_OPTIONS))


def drills(node: Node, errors: Errors) -> tuple[DrillRequest, ...] | None:
    """The requests in the order of the file; no family twice."""
    found = expect(List, node, errors, hint="put the families in brackets: [rhythms, blocks]")
    if found is None:
        return None
    if not found.items:
        hint = "name a family, or leave out drills: to let the passage decide"
        errors.append(EngraveError("no drills stand here", node.source, hint))
    requests: dict[str, DrillRequest] = {}
    for key, options in (pair for item in found.items for pair in _families(item, errors)):
        family = _family(key, errors)
        if family is None:
            continue
        if family in requests:
            message, hint = f"{family!r} is asked for twice", "put its options in one place"
            errors.append(EngraveError(message, key.source, hint))
        requests[family] = _request(family, key.source, options, errors)
    return tuple(requests.values())


def _families(item: Node, errors: Errors) -> Iterator[tuple[Text, Node | None]]:
    if isinstance(item, Table):
        yield from item.entries
    elif text := expect(Text, item, errors, hint="a family, or {family: {option: …}}"):
        yield text, None


def _request(family: str, source: Source, node: Node | None, errors: Errors) -> DrillRequest:
    if node is None or is_empty(node):
        return DrillRequest(family, source=source)
    options: dict[str, object] = {}
    with Form(node, errors, hint="{option: value}") as form:
        for option, reader in FAMILY_OPTIONS[family].items():
            found = form.get(option, reader, None)
            if found is not None:
                options[option] = found
    sources = {option: form.place(option) for option in options}

    def mark(option: str) -> Placed[Fraction] | None:
        found = options.get(option)
        return Placed(found, sources[option]) if isinstance(found, Fraction) else None

    below_goal("start", mark("start"), mark("goal"), errors)
    below_goal("reached", mark("reached"), mark("goal"), errors)
    not_below_start(mark("reached"), mark("start"), errors)
    return DrillRequest(family, tuple(options.items()), source, tuple(sources.items()))
