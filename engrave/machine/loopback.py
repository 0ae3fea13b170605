"""Pages for browsers of this machine alone.

Enters: a ``Site``, which answers requests. Leaves: answers. Listens on the loopback address; who
asks must know the secret in the address, and must have asked for this machine by its own name, so
that neither another user nor a page from elsewhere sees anything. What is sent must come from a
page of the site itself. Knows nothing of what is served.

The standard library's server carries this: it starts in a millisecond, and what is asked of it is
asked by one person. A framework would add its start to every command, and would not refuse for us
what is refused here.
"""

import hmac
import secrets
from collections.abc import Iterator
from dataclasses import dataclass
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Semaphore, Thread
from typing import Protocol

from engrave.errors import EngraveError

LOOPBACK = "127.0.0.1"
MOST_PAGES = 32
HEARTBEAT_SECONDS = 10
"""How long a page may hear nothing; a page that has gone is noticed at the next word to it."""
MOST_SENT = 256_000
"""Bytes of one request; a person writes less in a day."""

_HEADERS = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; "
        "img-src 'self' data:; font-src 'self'; connect-src 'self'; base-uri 'none'; "
        "form-action 'none'; frame-ancestors 'none'"
    ),
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}


@dataclass(frozen=True, slots=True)
class Answer:
    """What is answered: ``content`` of a ``kind`` (media type)."""

    content: bytes
    kind: str
    status: HTTPStatus = HTTPStatus.OK


class Site(Protocol):
    """What is to be had below the secret address; None means there is no such thing."""

    def get(self, path: str) -> Answer | None:
        """The answer to a GET of ``path``."""

    def post(self, path: str, body: bytes) -> Answer | None:
        """The answer to a POST of JSON from a page of the site."""

    def events(self) -> Iterator[str | None]:
        """What a page is told (``events``), as long as it listens; None keeps the line open."""


class LoopbackServer:
    """Serves ``site`` at ``address`` from ``start`` to ``stop``; ``port`` 0 chooses a free one.

    Raises ``EngraveError`` for a port that cannot be had.
    """

    def __init__(self, site: Site, port: int = 0) -> None:
        try:
            self._server = _Server((LOOPBACK, port), _Handler)
        except (OSError, OverflowError) as error:
            raise EngraveError(
                f"the page cannot be shown at port {port}: {error}",
                hint="--port 0 takes a free one",
            ) from None
        self._server.site = site
        self.port: int = self._server.server_address[1]
        self._thread = Thread(target=self._server.serve_forever, args=(0.05,), daemon=True)

    @property
    def address(self) -> str:
        """Where the page is, with the secret."""
        return f"http://{LOOPBACK}:{self.port}/{self._server.secret}/"

    def start(self) -> None:
        """Answer from now on, beside what else happens."""
        self._thread.start()

    def stop(self) -> None:
        """Answer no more."""
        self._server.shutdown()
        self._server.server_close()


class _Server(ThreadingHTTPServer):
    daemon_threads = True
    site: Site

    def __init__(self, *arguments: object) -> None:
        self.secret = secrets.token_urlsafe(16)
        self.pages = Semaphore(MOST_PAGES)
        super().__init__(*arguments)  # type: ignore[arg-type]

    def handle_error(self, *_: object) -> None:
        """A browser that hangs up has its reasons; the terminal is for the marks."""

    @property
    def names(self) -> tuple[str, str]:
        """This machine as its own browsers call it."""
        port = self.server_address[1]
        return f"{LOOPBACK}:{port}", f"localhost:{port}"


class _Handler(BaseHTTPRequestHandler):
    server: _Server
    protocol_version = "HTTP/1.1"
    timeout = 60
    server_version, sys_version = "engrave", ""

    def do_GET(self) -> None:
        """Answer, or refuse."""
        path = self._path()
        if path == "events":
            self._tell()
        elif path is not None:
            self._answer(self.server.site.get(path))

    def do_POST(self) -> None:
        """Take what a page of ours sends, or refuse."""
        self.close_connection = True
        path = self._path()
        if path is None:
            return
        if self.headers.get_all("Origin") not in [[f"http://{name}"] for name in self.server.names]:
            self._refuse(HTTPStatus.FORBIDDEN)
        elif self.headers.get_all("Content-Type") != ["application/json"]:
            self._refuse(HTTPStatus.UNSUPPORTED_MEDIA_TYPE)
        elif "Transfer-Encoding" in self.headers:
            self._refuse(HTTPStatus.LENGTH_REQUIRED)
        else:
            self._take(path)

    def _take(self, path: str) -> None:
        """Read what is sent, as long as it says it is, and no more than is ever meant."""
        length = self.headers.get("Content-Length", "")
        if not (length.isascii() and length.isdecimal()):
            self._refuse(HTTPStatus.LENGTH_REQUIRED)
        elif len(length) > 9 or int(length) > MOST_SENT:
            self._refuse(HTTPStatus.REQUEST_ENTITY_TOO_LARGE)
        else:
            body = self.rfile.read(int(length))
            if len(body) == int(length):
                self._answer(self.server.site.post(path, body))

    def _path(self) -> str | None:
        """The path below the secret; None where the request has been refused.

        A request of HTTP/0.9 has no head to be judged by, nor has its answer: no browser sends it.
        """
        if self.request_version == "HTTP/0.9":
            self._refuse(HTTPStatus.HTTP_VERSION_NOT_SUPPORTED)
            return None
        if self.headers.get_all("Host") not in [[name] for name in self.server.names]:
            self._refuse(HTTPStatus.MISDIRECTED_REQUEST)
            return None
        _, secret, path = [*self.path.partition("?")[0].split("/", 2), "", ""][:3]
        if not hmac.compare_digest(secret.encode(), self.server.secret.encode()):
            self._refuse(HTTPStatus.NOT_FOUND)
            return None
        return path

    def _answer(self, answer: Answer | None) -> None:
        if answer is None:
            self._refuse(HTTPStatus.NOT_FOUND)
            return
        self.send_response(answer.status)
        self.send_header("Content-Type", answer.kind)
        self.send_header("Content-Length", str(len(answer.content)))
        self.end_headers()
        self.wfile.write(answer.content)

    def _refuse(self, status: HTTPStatus) -> None:
        self.close_connection = True
        self.send_response(status)
        self.send_header("Content-Length", "0")
        self.end_headers()

    def _tell(self) -> None:
        """Everything now, then what changes, until the page goes (HTML, "Server-sent events")."""
        if not self.server.pages.acquire(blocking=False):
            self._refuse(HTTPStatus.SERVICE_UNAVAILABLE)
            return
        try:
            self.close_connection = True
            self.send_response(HTTPStatus.OK)
            self.send_header("Content-Type", "text/event-stream")
            self.end_headers()
            for news in self.server.site.events():
                line = ": still here" if news is None else f"data: {news}"
                self.wfile.write(f"{line}\n\n".encode())
        except OSError:
            pass  # the page has gone
        finally:
            self.server.pages.release()

    def end_headers(self) -> None:
        """With what every answer forbids."""
        for name, value in _HEADERS.items():
            self.send_header(name, value)
        super().end_headers()

    def log_message(self, format: str, *arguments: object) -> None:
        """Say nothing: the terminal is for the marks."""
