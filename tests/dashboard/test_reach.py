"""What a client on the network reaches that has no access code: asked of a real server, byte for byte, with no browser."""

from __future__ import annotations

import hashlib
import http.client
import os
import socket
import subprocess

import pytest

from bodymap.model import Source
from bodymap.store import record_file
from bodymap.store.record_file import Put, RecordFile
from dashboard.access import VARIABLE
from dashboard.serve import command, free_port, wait_until_ready

from .small import AT, small_record

PICTURE = b"\x89PNG the picture of a van that nobody outside is to see"
WORDS = (b"Test van", b"Door outside", PICTURE[5:])


@pytest.fixture(scope="module")
def port(tmp_path_factory):
    """Port of a server that asks a code, on a record with a picture beside it."""
    folder = tmp_path_factory.mktemp("reach")
    path = folder / "van.gpkg"
    record_file.create(path, small_record(), by="start", why="a small record", at=AT, media={})
    item = RecordFile(path).add_media("yard.png", PICTURE)
    source = Source(source_id="yard", kind="photo", title="Yard", file="yard.png")
    RecordFile(path).append([Put(item), Put(source)], by="start", why="a picture", at=AT, expect=None)
    number = free_port(9100 + 100 * int(os.environ.get("PYTEST_XDIST_WORKER", "gw0")[2:]))
    with (folder / "log.txt").open("wb") as log:
        argv = command(path, number, lan=True)
        environment = os.environ | {VARIABLE: "793A-FFDA"}
        server = subprocess.Popen(argv, stdout=log, stderr=subprocess.STDOUT, cwd=folder, env=environment)
        try:
            assert wait_until_ready(server, number), (folder / "log.txt").read_text()
            yield number
        finally:
            server.terminate()
            server.wait()


def asked(port: int, method: str, path: str, **headers: str) -> tuple[int, bytes]:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    try:
        connection.putrequest(method, path, skip_host="Host" in headers)
        for name, value in headers.items():
            connection.putheader(name.replace("_", "-"), value)
        connection.endheaders()
        answer = connection.getresponse()
        return answer.status, answer.read()
    finally:
        connection.close()


def upgraded(port: int, **headers: str) -> int:
    """Status of the answer to a request for a WebSocket (RFC 6455, section 4.1; 101 where it is granted)."""
    wanted = {
        "Host": f"127.0.0.1:{port}",
        "Connection": "Upgrade",
        "Upgrade": "websocket",
        "Sec_WebSocket_Version": "13",
        "Sec_WebSocket_Key": "dGhlIHNhbXBsZSBub25jZQ==",
        "Sec_WebSocket_Protocol": "streamlit",
    } | headers
    lines = "".join(f"{name.replace('_', '-')}: {value}\r\n" for name, value in wanted.items())
    with socket.create_connection(("127.0.0.1", port), timeout=30) as connection:
        connection.sendall(f"GET /_stcore/stream HTTP/1.1\r\n{lines}\r\n".encode())
        return int(connection.recv(4096).split()[1])


SHA = hashlib.sha256(PICTURE).hexdigest()
PATHS = [
    "/",
    "/survey",
    "/hand_over",
    "/van.gpkg",
    "/van.media/" + SHA + ".png",
    "/media/van.gpkg",
    "/media/" + SHA + ".png",
    "/media/yard.png",
    "/media/..%2fvan.gpkg",
    "/media/%2e%2e/van.gpkg",
    "/..%2f..%2fvan.gpkg",
    "/%2e%2e/%2e%2e/etc/passwd",
    "/static/..%2f..%2f..%2f..%2fetc%2fpasswd",
    "/app/static/van.gpkg",
    "/app/static/..%2fvan.gpkg",
    "/component/x/van.gpkg",
    "/component/streamlit/..%2f..%2fapp.py",
    "/_stcore/bidi-components/x/van.gpkg",
    "/_stcore/health",
    "/_stcore/host-config",
    "/_stcore/metrics",
    "/_stcore/script-health-check",
    "/_stcore/agent/openapi.json",
    "/_stcore/upload_file/x/y",
]


@pytest.mark.parametrize("path", PATHS)
def test_no_path_gives_anything_of_the_record_or_the_disk(port, path):
    _, content = asked(port, "GET", path)
    for word in (*WORDS, b"SQLite format 3", b"root:", b"def main"):
        assert word not in content


@pytest.mark.parametrize("path", ["/media/" + SHA + ".png", "/media/yard.png", "/component/x/van.gpkg"])
def test_files_that_no_page_shows_are_not_there(port, path):
    assert asked(port, "GET", path)[0] in (403, 404)


def test_the_interfaces_for_programs_are_off(port):
    assert asked(port, "POST", "/_stcore/agent/interact", Content_Length="0")[0] >= 400
    assert asked(port, "POST", "/_stcore/agent/mcp", Content_Length="0")[0] >= 400


def test_nothing_is_uploaded_without_a_session_and_its_token(port):
    assert asked(port, "PUT", "/_stcore/upload_file/x/y", Content_Length="0")[0] in (400, 403)
    assert asked(port, "DELETE", "/_stcore/upload_file/x/y")[0] in (400, 403)


def test_a_page_from_here_opens_its_websocket(port):
    assert upgraded(port) == 101
    assert upgraded(port, Origin=f"http://127.0.0.1:{port}") == 101


def test_a_page_from_elsewhere_does_not(port):
    """Neither as another origin, nor by giving its own name this machine's address (DNS rebinding)."""
    assert upgraded(port, Origin="http://elsewhere.example") == 403
    assert upgraded(port, Host="elsewhere.example") == 403
    assert upgraded(port, Host="elsewhere.example", Origin="http://elsewhere.example") == 403
