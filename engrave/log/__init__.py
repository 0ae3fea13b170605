"""The log: what a student did on which day, and which lessons there were; a set of entries.

The file, format 1, is YAML, UTF-8, an entry a line, so that half a file is still half the entries::

    log: 1
    entries:
    - {id: 6f0c8a…, day: 2027-02-14, piece: 9f2a…, student: 03b7…, drill: run.rhythms.long-short,
       mark: 66, beat: quarter, clean: 3, minutes: 6, word: "the thumb again"}     (on one line)

Every entry has, each once, in any order, between braces and separated by commas:

``id``        128 random bits, 32 digits of 0-9 a-f; by it an entry is known for ever
``day``       the calendar day of the device, 2027-02-14
``piece``, ``student``   opaque keys of 16 digits of 0-9 a-f (``keys``), no names

and one of these:

``drill``     a drill's id as in the manifest, or ``passage``: a passage's id (the passage as
              written); then, as known:
    ``mark``      the metronome mark at which it was tried, a whole number from 10 to 600; with it
    ``beat``      what the mark counts: ``quarter``, ``dotted-half`` … as in the marks, or its
                  length in quarters as in the manifest (``1/2``, ``3``); and
    ``clean``     how often running it was clean, 0 to 99: three times is a mark reached, 0 a try
    ``minutes``   0 to 600; decimals after a point
    ``word``      a word of the student's, at most 300 characters
``lesson``    the ids of the passages that the booklet of that day had, ``[run, chords]``; with
    ``done``      the ids of those that were done
``withdraws`` the id of an entry that is to count no more, whether that one came before or comes
``adopts``    another piece's or student's key, whose entries are to count here

A value is plain if it is made of letters, digits and ``. _ - / +``; other text stands in double
quotes, ``"`` and the backslash within after a backslash, no line end within. Ids in a list stand
in brackets. Lines that begin with ``#``, and empty ones, may stand anywhere. Of a file of another
format number nothing is read. Two files are taken together as sets are: any order, any number of
times, the same result. An entry whose keys or values this format does not know is told, never
guessed at.

``reading`` makes entries of a file, ``writing`` a file of entries, ``progress`` says how far the
student has come; ``model`` holds the values.
"""

from engrave.log.keys import Keys, keys_of
from engrave.log.model import Adoption, Entry, Lesson, Practised, Withdrawal
from engrave.log.reading import LogText, own_log, read_log
from engrave.log.writing import entry_line, joined

__all__ = [
    "Adoption",
    "Entry",
    "Keys",
    "Lesson",
    "LogText",
    "Practised",
    "Withdrawal",
    "entry_line",
    "joined",
    "keys_of",
    "own_log",
    "read_log",
]
