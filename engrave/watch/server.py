"""The page, for browsers of this machine alone.

Enters: a stage, and the files of the page. Leaves: answers to GET. Listens on the loopback address;
who asks must know the secret in the address, and must have asked for this machine by its own name,
so that neither another user nor a page from elsewhere sees anything. No path leads to the disk: the
answers are listed.
"""

import hmac
import secrets
from collections.abc import Mapping
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from threading import Semaphore, Thread
from urllib.parse import unquote

from engrave.errors import EngraveError
from engrave.watch.news import News
from engrave.watch.pdf import PdfShelf
from engrave.watch.stage import Stage

LOOPBACK = "127.0.0.1"
MOST_PAGES = 32
HEARTBEAT_SECONDS = 10
"""How long a page may hear nothing; a page that has gone is noticed at the next word to it."""

_HEADERS = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self' 'unsafe-inline'; img-src data:; "
        "font-src 'self'; connect-src 'self'; base-uri 'none'; form-action 'none'; "
        "frame-ancestors 'none'"
    ),
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}


class PageServer:
    """Serves ``stage`` at ``address`` from ``start`` to ``stop``; ``port`` 0 chooses a free one.

    Raises ``EngraveError`` for a port that cannot be had.
    """

    def __init__(
        self, stage: Stage, shelf: PdfShelf, files: Mapping[str, tuple[bytes, str]], port: int = 0
    ) -> None:
        try:
            self._server = _Server((LOOPBACK, port), _Handler)
        except (OSError, OverflowError) as error:
            raise EngraveError(
                f"the page cannot be shown at port {port}: {error}",
                hint="--port 0 takes a free one",
            ) from None
        self._server.stage, self._server.shelf, self._server.files = stage, shelf, files
        self.port: int = self._server.server_address[1]
        self._thread = Thread(target=self._server.serve_forever, daemon=True)

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
    stage: Stage
    shelf: PdfShelf
    files: Mapping[str, tuple[bytes, str]]

    def __init__(self, *arguments: object) -> None:
        self.secret = secrets.token_urlsafe(16)
        self.pages = Semaphore(MOST_PAGES)
        super().__init__(*arguments)  # type: ignore[arg-type]


class _Handler(BaseHTTPRequestHandler):
    server: _Server
    protocol_version = "HTTP/1.1"
    timeout = 60
    server_version, sys_version = "engrave", ""

    def do_GET(self) -> None:
        """Answer, or refuse."""
        port = self.server.server_address[1]
        if self.headers.get_all("Host") not in ([f"{LOOPBACK}:{port}"], [f"localhost:{port}"]):
            self._refuse(HTTPStatus.MISDIRECTED_REQUEST)
            return
        _, secret, path = [*self.path.partition("?")[0].split("/", 2), "", ""][:3]
        if not hmac.compare_digest(secret.encode(), self.server.secret.encode()):
            self._refuse(HTTPStatus.NOT_FOUND)
        elif path == "events":
            self._tell()
        elif path in self.server.files:
            self._answer(*self.server.files[path])
        elif path.startswith("pdf/") and (
            pdf := self.server.shelf.content(unquote(path.removeprefix("pdf/")))
        ):
            self._answer(pdf, "application/pdf")
        else:
            self._refuse(HTTPStatus.NOT_FOUND)

    def _answer(self, content: bytes, kind: str) -> None:
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", kind)
        self.send_header("Content-Length", str(len(content)))
        self.end_headers()
        self.wfile.write(content)

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
            news, version = News(), 0
            while True:
                scene = self.server.stage.after(version, HEARTBEAT_SECONDS)
                if scene is None:
                    self.wfile.write(b": still here\n\n")
                else:
                    version = scene.version
                    self.wfile.write(f"data: {news.of(scene)}\n\n".encode())
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
