"""The desk: the score in a browser, to be marked by hand; the marks file is what it writes.

``opening`` finds score and marks, ``manuscript`` changes and saves them, ``systems`` draws the
score, ``working`` makes of the marks what is to be seen, ``board`` holds it, ``site`` answers.
"""

from collections.abc import Callable
from dataclasses import asdict
from threading import Event, Thread

from engrave.desk.board import Board
from engrave.desk.manuscript import Manuscript
from engrave.desk.opening import Opened, opened
from engrave.desk.site import DeskSite
from engrave.desk.working import Work
from engrave.machine.cache import Cache
from engrave.machine.loopback import LoopbackServer
from engrave.pipeline.batch import Task
from engrave.watch.looking import saves
from engrave.watch.pdf import PdfShelf

__all__ = ["Opened", "desk", "opened"]


def desk(start: Opened, task: Task, port: int, tell: Callable[[str], None]) -> None:
    """Serve the desk until a page closes it or it is interrupted; ``tell`` hears its address.

    Every change is saved before it is answered, so that nothing is left to save at the end.
    """
    board = Board()
    manuscript = Manuscript(start.marks, start.first_text)
    work = Work(manuscript, board, task.job, Cache(task.cache), start.begun)
    shelf = PdfShelf(start.marks, task, lambda pdf: board.put(pdf=asdict(pdf)))
    ended = Event()

    def close() -> None:
        ended.set()
        work.due.set()

    def look() -> None:
        for _ in saves(lambda: {start.marks.absolute().parent}, ended):
            if manuscript.look():
                work.due.set()

    site = DeskSite(work, board, shelf.renew, shelf.content, close)
    server = LoopbackServer(site, port)
    server.start()
    Thread(target=look, daemon=True).start()
    try:
        tell(server.address)
        work.due.set()
        while not ended.is_set():
            work.due.wait(60)
            if work.due.is_set() and not ended.is_set():
                work.due.clear()
                work.safely()
    finally:
        board.close()
        ended.set()
        server.stop()
        shelf.close()
