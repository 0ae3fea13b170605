"""The name of a log that is sent is never that of the marks' own."""

from pathlib import Path

from engrave.errors import Source
from engrave.marks.placed import Placed
from engrave.pipeline.screening import sent_name


def test_a_log_that_is_sent_has_another_name() -> None:
    source = Source("ella.yaml")
    assert sent_name("ella", None) == "ella-sent"
    assert sent_name("ella", Placed(Path("ella.log.yaml"), source)) == "ella-sent"
    own = Placed(Path("ella-sent-2027-02-19.log.yaml"), source)
    assert sent_name("ella", own) == "ella-sent-sent"
