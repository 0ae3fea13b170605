"""Taking in is a union of sets: commutative, associative, idempotent, to the byte."""

from hypothesis import given
from hypothesis import strategies as st

from engrave.log import Entry, joined
from engrave.log.reading import read_log_bytes
from tests.log.entries import ENTRIES

SETS = st.lists(ENTRIES, max_size=6)


def union(*logs: list[Entry]) -> str:
    """Taken in one after another, each time through the file."""
    text = ""
    for entries in logs:
        text = joined(read_log_bytes(text.encode(), "log"), entries)
    return text


@given(SETS, SETS, SETS)
def test_any_order_any_grouping_any_number_of_times(
    one: list[Entry], two: list[Entry], three: list[Entry]
) -> None:
    whole = union(one, two, three)
    assert union(three, one, two) == whole
    assert union(two, one, three, one, two) == whole
    both = list(read_log_bytes(union(two, three).encode(), "log").entries)
    assert union(one, both) == whole
    assert union(list(reversed(both)), one) == whole
    assert set(read_log_bytes(whole.encode(), "log").entries) == {*one, *two, *three}
