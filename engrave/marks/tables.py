"""Which keys stand in which table of the marks file, and other words for keys and values.

Enters: nothing. Leaves: names alone. Words for values are taken where they have one meaning; for
keys they make a hint, so that a file has one way to be written. All in lower case.
"""

FILE = (
    *("piece", "score", "part", "student", "teacher", "performance", "lesson", "log", "begin"),
    *("practice", "language", "paper", "staff_mm", "pages", "show_student", "sound", "from"),
    "passages",
)
"""Keys of the file as a whole and of nothing else."""

PASSAGE = (
    *("id", "measures", "hand", "fingering", "number", "trouble", "drills", "status"),
    *("remarks", "private"),
)
"""Keys of a passage and of nothing else."""

TABLES = {
    "piece": ("title", "composer", "movement"),
    "student": ("name", "stretch_cm"),
    "practice": ("minutes_a_day", "rest_days"),
    "tempo": ("beat", "goal", "start", "step", "reached"),
}
"""Keys of the smaller tables, by the key at which such a table stands."""

LISTS = frozenset(("drills", "rest_days", "variants", "steps", "sizes", "at"))
"""Keys at which a list in brackets can stand."""

KNOWN = frozenset((*FILE, *PASSAGE, *TABLES, *sum(TABLES.values(), ()), "hands", "left", "right"))
"""All keys that are words."""

_ALSO = {
    "measures": ("bars", "bar", "measure", "takte", "takt"),
    "hand": ("hands", "hände", "haende"),
    "trouble": ("problem", "mühe", "schwierigkeit", "schwierig"),
    "drills": ("exercises", "exercise", "drill", "übungen", "übung", "uebungen", "uebung"),
    "fingering": ("fingers", "fingersatz", "finger"),
    "remarks": ("notes", "remark", "comment", "anmerkung", "anmerkungen", "bemerkung"),
    "private": ("privat",),
    "performance": ("concert", "recital", "auftritt", "vorspiel", "konzert"),
    "lesson": ("stunde", "unterricht"),
    "goal": ("bpm", "metronome", "speed", "ziel", "zieltempo"),
    "reached": ("erreicht",),
    "passages": ("passage", "stellen", "stelle"),
    "score": ("file", "partitur", "noten"),
    "piece": ("stück",),
    "title": ("titel",),
    "composer": ("komponist", "komponistin"),
    "student": ("schüler", "schülerin"),
    "teacher": ("lehrer", "lehrerin"),
    "practice": ("üben", "ueben"),
    "minutes_a_day": ("minuten", "minutes"),
    "rest_days": ("ruhetage", "ruhetag", "frei"),
    "stretch_cm": ("spanne", "spannweite"),
    "language": ("sprache",),
    "paper": ("papier",),
    "pages": ("seiten",),
}
KEYS = {other: key for key, others in _ALSO.items() for other in others}
"""What people write for a key of ours."""


def _turned(table: dict[str, tuple[str, ...]]) -> dict[str, str]:
    return {other: word for word, others in table.items() for other in others}


HANDS = _turned(
    {
        "right": ("rh", "r.h.", "r", "right hand", "rechts", "rechte", "rechte hand", "md", "m.d."),
        "left": ("lh", "l.h.", "l", "left hand", "links", "linke", "linke hand", "ms", "m.s."),
        "both": (
            *("both hands", "together", "beide", "beide hände", "beidhändig", "two", "2", "ht"),
            *("r+l", "l+r", "r/l", "l/r", "rh/lh", "lh/rh", "rh+lh", "lh+rh"),
            *("rechts/links", "links/rechts", "rechts und links", "right/left", "left/right"),
        ),
    }
)
STATUSES = _turned(
    {
        "done": ("finished", "complete", "completed", "ready", "fertig", "erledigt"),
        "learning": ("new", "in progress", "working", "active", "neu", "in arbeit"),
        "warm-up": ("warmup", "warm up", "einspielen", "zum einspielen"),
    }
)
BEATS = _turned(
    {
        "whole": ("ganze", "semibreve", "ganze note"),
        "dotted-half": ("dotted half", "punktierte halbe", "dotted minim"),
        "half": ("halbe", "minim", "halbe note"),
        "dotted-quarter": ("dotted quarter", "punktierte viertel", "dotted crotchet"),
        "quarter": ("viertel", "crotchet", "viertelnote"),
        "dotted-eighth": ("dotted eighth", "punktierte achtel", "dotted quaver"),
        "eighth": ("achtel", "quaver", "achtelnote", "8th"),
        "16th": ("sixteenth", "sechzehntel", "semiquaver"),
    }
)
WEEKDAYS = _turned(
    {
        "monday": ("montag", "montags", "mon", "mo"),
        "tuesday": ("dienstag", "dienstags", "tue", "di"),
        "wednesday": ("mittwoch", "mittwochs", "wed", "mi"),
        "thursday": ("donnerstag", "donnerstags", "thu", "do"),
        "friday": ("freitag", "freitags", "fri", "fr"),
        "saturday": ("samstag", "samstags", "sonnabend", "sat", "sa"),
        "sunday": ("sonntag", "sonntags", "sun", "so"),
    }
)
LINKS = _turned({"beat": ("schlag", "zählzeit", "beats"), "measure": ("takt", "bar", "measures")})
DIRECTIONS = _turned(
    {"forward": ("vorwärts", "vor"), "backward": ("rückwärts",), "both": ("beides", "beide")}
)
ANSWERS = _turned({"yes": ("ja", "on", "an"), "no": ("nein", "off", "aus")})
FAMILY_NAMES = _turned(
    {
        "hands-apart": (
            *("haende getrennt", "getrennt", "hände einzeln", "haende einzeln"),
            *("hands separately", "hands apart"),
        ),
        "voices": ("stimme",),
        "rhythms": ("rhythmus", "punktiert", "rhythmusvarianten", "rhythm"),
        "accents": ("akzent", "accent"),
        "bursts": ("burst",),
        "blocks": ("griff", "block"),
        "leaps": ("spruenge", "sprung", "leap"),
        "chain": ("ketten", "chains"),
        "outline": ("geruest",),
        "other-hand": ("other hand",),
        "everything": ("alle", "alles", "all"),
    }
)
"""Beside their names, which are taken in every language."""
RHYTHMS = _turned(
    {
        "long-short": ("punktiert", "dotted", "lang-kurz", "lang–kurz", "long–short"),
        "short-long": ("kurz-lang", "kurz–lang", "short–long"),
        "short-short-long": ("kurz-kurz-lang", "kurz–kurz–lang", "short–short–long"),
        "long-short-short": ("lang-kurz-kurz", "lang–kurz–kurz", "long–short–short"),
        "short-long-short": ("kurz-lang-kurz", "kurz–lang–kurz", "short–long–short"),
        "in-threes": ("in dreiergruppen", "in dreien", "in threes"),
    }
)
