"""The measures that a score names, read without its music.

Enters: a path. Leaves: names. For marks that have other mistakes: the user is told at once which
measures there are not, before anything heavy is loaded.
"""

from pathlib import Path

from engrave.errors import EngraveError
from engrave.score.formats.files import xml_root
from engrave.score.held import hold
from engrave.score.naming import printed_names

_MUSIC_XML = (".musicxml", ".xml", ".mxl")


def measure_names(path: Path) -> tuple[str, ...]:
    """The measures of a partwise MusicXML score as printed; none where they cannot be told."""
    if path.suffix.lower() not in _MUSIC_XML:
        return ()
    try:
        root = xml_root(hold(path).data, path.name)
    except EngraveError:
        return ()
    part = root.find("part") if root.tag == "score-partwise" else None
    if part is None:
        return ()
    return tuple(printed_names([each.get("number", "") for each in part.iterfind("measure")]))
