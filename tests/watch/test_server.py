"""Who may ask for the page, and for what."""

import http.client
import json
import socket
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from engrave.errors import EngraveError
from engrave.machine.loopback import LoopbackServer
from engrave.watch.news import Listener
from engrave.watch.pdf import PdfShelf
from engrave.watch.server import WatchSite
from engrave.watch.stage import Mistake, Pdf, PdfState, Showing, Stage

FILES = {"": (b"<p>page", "text/html"), "page.js": (b"1", "text/javascript")}
PDF = b"%PDF-1.7 small"


class OneShelf(PdfShelf):
    """A shelf with one PDF that makes no more."""

    def __init__(self) -> None:
        pass

    def content(self, name: str) -> bytes | None:
        return PDF if name == "x-student.pdf" else None


@pytest.fixture
def stage() -> Stage:
    return Stage()


@pytest.fixture
def server(stage: Stage) -> Iterator[LoopbackServer]:
    served = LoopbackServer(WatchSite(stage, OneShelf(), FILES))
    served.start()
    yield served
    served.stop()


def ask(server: LoopbackServer, path: str, **headers: str) -> http.client.HTTPResponse:
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=60)
    connection.putrequest("GET", path, skip_host="Host" in headers)
    for name, value in headers.items():
        connection.putheader(name, value)
    connection.endheaders()
    return connection.getresponse()


def below(server: LoopbackServer, path: str) -> str:
    return urlsplit(server.address).path + path


def test_the_page_and_its_files_are_served(server: LoopbackServer) -> None:
    for name, (content, kind) in FILES.items():
        answer = ask(server, below(server, name))
        assert (answer.status, answer.headers["Content-Type"]) == (200, kind)
        assert answer.read() == content
    assert ask(server, below(server, "pdf/x-student.pdf")).read() == PDF


@pytest.mark.parametrize("host", ["localhost", "127.0.0.1"])
def test_this_machine_may_be_called_by_both_its_names(server: LoopbackServer, host: str) -> None:
    assert ask(server, below(server, ""), Host=f"{host}:{server.port}").status == 200


@pytest.mark.parametrize(
    "host", ["evil.example:{port}", "127.0.0.1", "127.0.0.1:1", "localhost.evil.example:{port}", ""]
)
def test_a_name_that_others_point_here_is_refused(server: LoopbackServer, host: str) -> None:
    """DNS rebinding: a page of theirs would ask for their name, which has become our address."""
    answer = ask(server, below(server, ""), Host=host.format(port=server.port))
    assert answer.status == 421
    assert answer.read() == b""


@pytest.mark.parametrize(
    "path", ["/", "/page.js", "/events", "/wrong-secret/", "/wrong-secret/events", "//"]
)
def test_without_the_secret_there_is_nothing(server: LoopbackServer, path: str) -> None:
    assert ask(server, path).status == 404


@pytest.mark.parametrize(
    "path",
    [
        "../../etc/passwd",
        "..%2f..%2fetc%2fpasswd",
        "pdf/../../../../etc/passwd",
        "pdf/..%2f..%2f..%2fetc%2fpasswd",
        "pdf//etc/passwd",
        "pdf/%2fetc%2fpasswd",
        "x-student.pdf",
        "font/../page.js",
        "page.js/",
        "%00",
    ],
)
def test_no_path_leads_to_the_disk(server: LoopbackServer, path: str) -> None:
    assert ask(server, below(server, path)).status == 404


def test_a_shelf_knows_one_name(tmp_path: Path) -> None:
    from engrave.pipeline.batch import Task
    from engrave.pipeline.styling import Job

    shelf = PdfShelf(tmp_path / "x.yaml", Task(tmp_path, Job(), None), lambda _: None)
    (tmp_path / "x").mkdir()
    (tmp_path / "x" / "x-student.pdf").write_bytes(PDF)
    (tmp_path / "secret").write_bytes(b"secret")
    assert shelf.content("x-student.pdf") == PDF
    assert [shelf.content(name) for name in ("../secret", "x-stand.pdf", "", "manifest.json")] == [
        None
    ] * 4
    shelf.close()


def test_only_the_loopback_address_listens(server: LoopbackServer) -> None:
    others = {info[4][0] for info in socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)}
    for address in others - {"127.0.0.1"}:
        with socket.socket() as asking:
            asking.settimeout(2)
            assert asking.connect_ex((address, server.port)) != 0
    table = Path("/proc/net/tcp")
    if table.exists():
        listening = [line.split()[1] for line in table.read_text().splitlines()[1:]]
        port = f":{server.port:04X}"
        assert {each for each in listening if each.endswith(port)} == {f"0100007F{port}"}


def test_a_port_that_cannot_be_had_is_told(server: LoopbackServer, stage: Stage) -> None:
    for port in (server.port, 65536):
        with pytest.raises(EngraveError, match=f"port {port}: ") as caught:
            LoopbackServer(WatchSite(stage, OneShelf(), FILES), port)
        assert caught.value.hint


def test_nothing_but_get_is_answered(server: LoopbackServer) -> None:
    connection = http.client.HTTPConnection("127.0.0.1", server.port, timeout=60)
    for method in ("PUT", "DELETE", "OPTIONS", "CONNECT"):
        connection.request(method, below(server, ""), body=b"")
        assert connection.getresponse().status == 501
        connection.close()
    connection.request("POST", below(server, ""), body=b"")
    assert connection.getresponse().status == 403
    connection.close()
    own = {"Origin": f"http://127.0.0.1:{server.port}", "Content-Type": "application/json"}
    connection.request("POST", below(server, ""), body=b"{}", headers=own)
    assert connection.getresponse().status == 404
    connection.close()


def test_every_answer_forbids_what_it_can(server: LoopbackServer) -> None:
    for path in (below(server, ""), "/elsewhere"):
        headers = ask(server, path).headers
        assert "default-src 'none'" in headers["Content-Security-Policy"]
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
        assert headers["Access-Control-Allow-Origin"] is None


def test_a_page_hears_only_what_it_does_not_know(server: LoopbackServer, stage: Stage) -> None:
    stage.show(Showing("A piece", "css", (("a", "<p>1"), ("b", "<p>2"))))
    answer = ask(server, below(server, "events"))
    assert answer.headers["Content-Type"] == "text/event-stream"

    def heard() -> dict[str, object]:
        line = answer.readline()
        assert answer.readline() == b"\n"
        told: dict[str, object] = json.loads(line.removeprefix(b"data: "))
        return told

    first = heard()
    assert first["title"] == "A piece"
    assert first["css"] == "css"
    assert first["passages"] == [{"id": "a", "html": "<p>1"}, {"id": "b", "html": "<p>2"}]
    stage.show(Showing("A piece", "css", (("b", "<p>2"), ("a", "<p>3"))))
    second = heard()
    assert "css" not in second
    assert second["passages"] == [{"id": "b", "html": None}, {"id": "a", "html": "<p>3"}]
    stage.show(Showing(mistakes=(Mistake("wrong", "x.yaml:1:1"),)))
    assert heard()["mistakes"] == [
        {"message": "wrong", "place": "x.yaml:1:1", "hint": "", "lines": []}
    ]
    stage.show(Showing("A piece", "css", (("a", "<p>3"), ("b", "<p>2"))))
    assert heard()["passages"] == [{"id": "a", "html": None}, {"id": "b", "html": None}]
    stage.show_pdf(Pdf("x-student.pdf", PdfState.MADE))
    assert heard()["pdf"] == {"file": "x-student.pdf", "said": ""}


@pytest.mark.parametrize(
    ("pdf", "said"),
    [
        (Pdf(), ""),
        (Pdf(None, PdfState.MAKING), "das PDF entsteht"),
        (Pdf("x.pdf", PdfState.MAKING), "wird erneuert"),
        (Pdf("x.pdf", PdfState.MADE), ""),
        (Pdf("x.pdf", PdfState.FAILED, "so"), "das PDF ließ sich nicht machen: so"),
    ],
)
def test_how_the_pdf_fares_is_said_in_the_language_of_the_marks(pdf: Pdf, said: str) -> None:
    told = json.loads(Listener().of(Showing(pdf=pdf, language="de")))
    assert told["pdf"] == {"file": pdf.file, "said": said}


def test_too_many_pages_are_refused(server: LoopbackServer) -> None:
    kept = [ask(server, below(server, "events")) for _ in range(32)]
    assert {answer.status for answer in kept} == {200}
    assert ask(server, below(server, "events")).status == 503
