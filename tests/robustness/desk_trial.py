"""Broken requests sent to a desk, and what must hold of it.

Every request is answered or its line closed; what is refused changes nothing; the marks stay a
text; nothing else is written; the desk answers the next request.
"""

import random
import socket
import traceback
from http import HTTPStatus
from pathlib import Path
from urllib.parse import urlsplit

from engrave.desk.board import Board
from engrave.desk.manuscript import Manuscript
from engrave.desk.site import DeskSite
from engrave.desk.working import Work
from engrave.machine.cache import Cache, user_folder
from engrave.machine.loopback import LoopbackServer
from engrave.pipeline.styling import Job
from tests.pipeline.demo import lay_out
from tests.robustness.broken_requests import NOW, Request, broken_requests
from tests.robustness.log_trial import MARKS

PATIENCE_SECONDS = 10


class _Desk:
    """A desk of one passage; ``failed`` holds what its threads raised."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.marks = lay_out(folder)
        self.marks.write_text(MARKS, "utf-8")
        self.work = Work(Manuscript(self.marks), Board(), Job(), Cache(user_folder()))
        self.site = DeskSite(self.work, self.work.board, lambda: None, lambda _: None, lambda: None)
        self.server = LoopbackServer(self.site)
        self.failed: list[str] = []
        self.server._server.handle_error = self._keep  # type: ignore[method-assign]
        self.server.start()

    def _keep(self, *_: object) -> None:
        told = traceback.format_exc(limit=-4)
        if "ConnectionResetError" not in told and "BrokenPipeError" not in told:
            self.failed.append(told)

    def send(self, request: Request) -> int:
        """The status of the answer; 0 where the line was closed without one."""
        secret = urlsplit(self.server.address).path.strip("/")
        head, body = request.head, request.body or b""
        if head is None:
            body = body.replace(b'"' + NOW.encode() + b'"', b"%d" % self.work.manuscript.version)
            head = _head(request, len(body))
        head = head.replace(b"{port}", b"%d" % self.server.port)
        head = head.replace(b"{secret}", secret.encode())
        with socket.create_connection(("127.0.0.1", self.server.port), PATIENCE_SECONDS) as line:
            try:
                line.sendall(head + body)
                line.shutdown(socket.SHUT_WR)
                answer = line.recv(65536)
            except OSError as error:
                if isinstance(error, TimeoutError):
                    raise
                return 0
        status = answer[9:12]
        return int(status) if answer.startswith(b"HTTP/") and status.isdigit() else 0


def _head(request: Request, length: int) -> bytes:
    """The lines that a browser sends for a page of the desk."""
    lines = ["Host: 127.0.0.1:{port}"]
    if request.body is not None:
        lines += ["Origin: http://127.0.0.1:{port}", "Content-Type: application/json"]
        lines.append(f"Content-Length: {length}")
    way = "GET" if request.body is None else "POST"
    first = f"{way} /{{secret}}/{request.path} HTTP/1.1"
    return ("\r\n".join([first, *lines]) + "\r\n\r\n").encode()


def desk_problem(folder: Path, chance: random.Random, with_work: bool) -> tuple[str, str]:
    """How the desk took what one page sent, and what went wrong."""
    desk = _Desk(folder)
    try:
        if with_work:
            desk.work.once()
        return _sent(desk, broken_requests(chance), with_work)
    except TimeoutError:
        return "failed", "a request was not answered"
    except Exception:
        return "failed", traceback.format_exc(limit=-4)
    finally:
        desk.server.stop()


def _sent(desk: _Desk, requests: list[Request], with_work: bool) -> tuple[str, str]:
    there = sorted(path.name for path in desk.folder.iterdir())
    came = "refused"
    for request in requests:
        before = desk.marks.read_bytes()
        status = desk.send(request)
        after = desk.marks.read_bytes()
        if desk.failed or status == HTTPStatus.INTERNAL_SERVER_ERROR:
            return "failed", "".join(desk.failed) or f"an answer of {status}"
        if status != HTTPStatus.OK and before != after:
            return "failed", f"answered {status}, and the marks were changed"
        came = "changed" if before != after else came
        after.decode("utf-8")
        if sorted(path.name for path in desk.folder.iterdir()) != there:
            return "failed", "something stands beside the marks"
        if with_work:
            desk.work.once()
    if desk.send(Request("words.json")) != HTTPStatus.OK:
        return "failed", "the desk answers no more"
    return came, ""
