"""Signs at a note, by their names in MusicXML 4.0: those that stand without a text.

Read and written alike; nothing here knows files.
"""

ARTICULATIONS = frozenset(
    {
        "accent", "breath-mark", "caesura", "detached-legato", "doit", "falloff", "plop", "scoop",
        "soft-accent", "spiccato", "staccatissimo", "staccato", "stress", "strong-accent",
        "tenuto", "unstress",
    }
)  # fmt: skip
"""MusicXML 4.0 ``articulations`` that are complete without text."""

ORNAMENTS = frozenset(
    {
        "delayed-inverted-turn", "delayed-turn", "inverted-mordent", "inverted-turn",
        "inverted-vertical-turn", "mordent", "schleifer", "shake", "trill-mark", "turn",
        "vertical-turn",
    }
)  # fmt: skip
"""MusicXML 4.0 ``ornaments`` that are complete without text."""
