"""What is to be seen now, and who waits for the next.

Enters: scenes, from the one who makes them. Leaves: scenes, to any number of threads, each only
what it has not seen; a scene that another has followed meanwhile is passed over.
"""

from dataclasses import dataclass, field, replace
from enum import StrEnum
from threading import Condition

from engrave.messages import ENGLISH


@dataclass(frozen=True, slots=True)
class TextLine:
    """A line of the marks file; ``here``: the mistake is in it."""

    number: int
    text: str
    here: bool


@dataclass(frozen=True, slots=True)
class Mistake:
    """What is wrong, where (empty: nowhere in particular), a hint, and the lines around it."""

    message: str
    place: str = ""
    hint: str = ""
    lines: tuple[TextLine, ...] = ()


class PdfState(StrEnum):
    """How the newest PDF fares."""

    UNASKED = "unasked"
    MAKING = "making"
    MADE = "made"
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class Pdf:
    """The name of the last PDF, None before the first; how the newest fares, and why it failed."""

    file: str | None = None
    state: PdfState = PdfState.UNASKED
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Showing:
    """All that a page shows, either ``passages``, ids and HTML in order, or ``mistakes``.

    ``version`` counts the scenes; ``language`` is the one in which the page speaks of them.
    """

    title: str = ""
    css: str = ""
    passages: tuple[tuple[str, str], ...] = ()
    mistakes: tuple[Mistake, ...] = ()
    pdf: Pdf = field(default_factory=Pdf)
    version: int = 0
    language: str = ENGLISH


class Stage:
    """The scene of the moment."""

    def __init__(self) -> None:
        self._scene, self._changed = Showing(), Condition()

    def show(self, scene: Showing) -> None:
        """Put on ``scene``, beside the PDF that there is."""
        with self._changed:
            self._put_on(replace(scene, pdf=self._scene.pdf))

    def show_pdf(self, pdf: Pdf) -> None:
        """Tell of a PDF beside what is shown."""
        with self._changed:
            self._put_on(replace(self._scene, pdf=pdf))

    def after(self, version: int, timeout: float) -> Showing | None:
        """The scene, once it is later than ``version``; None if that takes over ``timeout`` s."""
        with self._changed:
            self._changed.wait_for(lambda: self._scene.version > version, timeout)
            return self._scene if self._scene.version > version else None

    def _put_on(self, scene: Showing) -> None:
        self._scene = replace(scene, version=self._scene.version + 1)
        self._changed.notify_all()
