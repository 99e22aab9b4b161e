"""Who may ask, what they may ask for, and how much of it."""

from __future__ import annotations

import http.client
import json
import re
import socket
from pathlib import Path

import pytest
from support.page import Opened, open_design


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Opened:
    with open_design(tmp_path_factory.mktemp("safety"), "--no-solve") as opened:
        yield opened


def ask(server: Opened, method: str, path: str, headers: dict[str, str] | None = None, body: bytes = b""):
    link = http.client.HTTPConnection("127.0.0.1", server.port, timeout=10)
    link.request(method, path, body or None, headers or {})
    answer = link.getresponse()
    data = answer.read()
    link.close()
    return answer.status, dict(answer.getheaders()), data


EDIT = json.dumps({"kind": "write", "where": ["top", "braces", 0, "height"], "text": "15 mm"}).encode()


def test_the_page_itself_is_served_with_a_strict_policy(server: Opened) -> None:
    status, headers, body = ask(server, "GET", "/")
    assert status == 200
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert server.token not in body.decode()
    assert not re.search(r"<script(?![^>]*src=)|<style|style=|onclick=", body.decode())
    assert not re.search(r"(src|href)=\"(https?:)?//", body.decode())


def test_nothing_of_the_page_comes_from_elsewhere() -> None:
    page = Path(__file__).parents[2] / "braces" / "web" / "page"
    for file in page.iterdir():
        found = re.findall(r"https?://[^\s\"')]+", file.read_text(encoding="utf-8"))
        assert set(found) <= {"http://www.w3.org/2000/svg"}, file


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "https://127.0.0.1", "http://127.0.0.1", "http://localhost:1"]
)
def test_a_foreign_origin_is_refused(server: Opened, origin: str) -> None:
    for method, path in (("POST", "/api/edit"), ("GET", "/api/view"), ("GET", "/")):
        status, headers, _ = ask(server, method, path, server.headers | {"origin": origin}, EDIT)
        assert status == 403
        assert not any(name.startswith("access-control") for name in headers)


def test_a_post_without_an_origin_or_from_another_site_is_refused(server: Opened) -> None:
    bare = {k: v for k, v in server.headers.items() if k != "origin"}
    assert ask(server, "POST", "/api/edit", bare, EDIT)[0] == 403
    assert ask(server, "POST", "/api/edit", server.headers | {"sec-fetch-site": "cross-site"}, EDIT)[0] == 403
    assert ask(server, "OPTIONS", "/api/edit", server.headers)[0] == 405


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1", "evil.example:80", "127.0.0.1:1", ""])
def test_a_foreign_host_is_refused(server: Opened, host: str) -> None:
    assert ask(server, "GET", "/", {"host": host})[0] == 421


def test_the_token_is_needed_and_nothing_like_it(server: Opened) -> None:
    for token in ("", server.token[:-1], server.token + "x", "x" * 43):
        assert ask(server, "GET", "/api/view", server.headers | {"x-braces-token": token})[0] == 401
    assert ask(server, "GET", "/api/view", server.headers)[0] == 200
    assert ask(server, "POST", "/api/enter", server.headers, json.dumps({"once": "x" * 22}).encode())[0] == 403


@pytest.mark.parametrize(
    "path",
    [
        "/page/../server.py", "/page/..%2Fserver.py", "/page/%2e%2e/server.py", "/made/x/fieldfare.toml",
        "/made/../../etc/passwd", "/etc/passwd", "/page//etc/passwd", "/page/index.html%00.js",
    ],
)  # fmt: skip
def test_no_path_from_the_browser_is_opened(server: Opened, path: str) -> None:
    assert ask(server, "GET", path)[0] == 404


def test_other_designs_are_known_by_name_only(server: Opened) -> None:
    for name in ("/etc/passwd", "../my-fieldfare.toml", "saved/../x"):
        status, _, body = ask(server, "GET", f"/api/compare?with={name}", server.headers)
        assert status == 200
        assert json.loads(body)["rows"] == []


@pytest.mark.parametrize(
    "body",
    [
        b"", b"[]", b"{", b"\xff\xfe", b"[" * 30_000, b"{}", b'{"kind":"drag"}',
        b'{"kind":"write","where":[1.5],"text":"x"}', b'{"kind":"write","where":["top"],"text":7}',
        b'{"kind":"drag","picture":"plan","key":"x","u":1e999,"v":0,"gesture":""}',
        b'{"kind":"drag","picture":"plan","key":"x","u":NaN,"v":0,"gesture":""}', b'{"kind":"write","plate":"side"}',
    ],
)  # fmt: skip
def test_a_nonsense_body_is_refused(server: Opened, body: bytes) -> None:
    assert ask(server, "POST", "/api/edit", server.headers, body)[0] == 400


def test_unknown_fields_and_tables_cannot_be_written(server: Opened) -> None:
    for where in (["top"], ["top", "braces"], ["name", "x"], ["top", "braces", 99, "height"], ["secret"], []):
        body = json.dumps({"kind": "write", "where": where, "text": "1 mm"}).encode()
        status, _, data = ask(server, "POST", "/api/edit", server.headers, body)
        assert status == 200
        assert json.loads(data)["refusal"]
    assert json.loads(ask(server, "GET", "/api/view", server.headers)[2])["state"]["unsaved"] is False


def test_too_much_is_refused(server: Opened) -> None:
    assert ask(server, "POST", "/api/edit", server.headers, b" " * 70_000)[0] == 413
    assert ask(server, "POST", "/api/edit", server.headers | {"content-type": "text/plain"}, EDIT)[0] == 415
    chunked = b"POST /api/edit HTTP/1.1\r\nHost: 127.0.0.1:%d\r\n" % server.port
    chunked += b"".join(f"{k}: {v}\r\n".encode() for k, v in server.headers.items())
    chunked += b"Transfer-Encoding: chunked\r\n\r\n" + b"4000\r\n" + b" " * 0x4000 + b"\r\n"
    with socket.create_connection(("127.0.0.1", server.port), timeout=10) as link:
        link.sendall(chunked)
        for _ in range(5):
            link.sendall(b"4000\r\n" + b" " * 0x4000 + b"\r\n")
        link.sendall(b"0\r\n\r\n")
        assert b" 200 " not in link.recv(200)


def test_the_server_listens_on_loopback_only(server: Opened) -> None:
    listening = [
        line.split()[1]
        for name in ("tcp", "tcp6")
        for line in Path(f"/proc/net/{name}").read_text(encoding="ascii").splitlines()[1:]
        if line.split()[3] == "0A" and int(line.split()[1].rsplit(":", 1)[1], 16) == server.port
    ]
    assert [a.rsplit(":", 1)[0] for a in listening] == ["0100007F"]
