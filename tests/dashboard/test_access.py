"""The access code: compared in constant time, asked by one gate for the whole server, before anything of the record."""

from __future__ import annotations

import hmac
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from streamlit import config
from streamlit.testing.v1 import AppTest

import dashboard
from bodymap.cli import main
from bodymap.errors import BodymapError
from dashboard import access, network, serve
from dashboard.access import FIRST_WAIT_S, LONGEST_WAIT_S, Gate
from tests.certificates import certificate, lock

APP = Path(dashboard.__file__).with_name("app.py")
CODE = "793A-FFDA"


class Clock:
    """A clock that goes when it is told to."""

    def __init__(self):
        self.now = 1000.0

    def __call__(self):
        return self.now


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def gate(clock):
    return Gate(CODE, clock)


@pytest.mark.parametrize("given_code", [CODE, "793aFFda", " 793a ffda ", "7 9 3 A F F D A"])
def test_the_code_is_known_however_it_is_typed(gate, given_code):
    assert gate.ask(given_code).admitted


@pytest.mark.parametrize("given_code", ["", "793A-FFD", "793A-FFDAA", "793A-FFDC", "\ud800", "793Aß", "ффффффф7"])
def test_no_other_code_is_let_in(gate, given_code):
    assert not gate.ask(given_code).admitted


def test_codes_are_compared_in_constant_time(gate, monkeypatch):
    seen = []
    compare = hmac.compare_digest
    monkeypatch.setattr(access.hmac, "compare_digest", lambda *both: seen.append(both) or compare(*both))
    assert gate.ask(CODE).admitted
    assert seen == [(b"793AFFDA", b"793AFFDA")]


def test_each_wrong_code_doubles_the_wait_up_to_a_minute(gate, clock):
    waits = []
    for _ in range(9):
        answer = gate.ask("WRONG")
        assert answer.looked
        waits.append(answer.wait_s)
        clock.now += answer.wait_s
    assert waits == [1, 2, 4, 8, 16, 32, 60, 60, 60]


def test_the_right_code_is_not_looked_at_while_the_gate_is_closed(gate, clock):
    assert gate.ask("WRONG").wait_s == FIRST_WAIT_S
    clock.now += 0.75
    early = gate.ask(CODE)
    assert (early.admitted, early.looked, early.wait_s) == (False, False, 0.25)
    clock.now += 0.25
    assert gate.ask(CODE).admitted


def test_who_comes_too_early_does_not_make_it_longer(gate, clock):
    gate.ask("WRONG")
    for _ in range(50):
        gate.ask("WRONG")
    clock.now += FIRST_WAIT_S
    assert gate.ask("WRONG").wait_s == 2 * FIRST_WAIT_S


def test_the_count_begins_again_when_somebody_was_let_in(gate, clock):
    for _ in range(5):
        clock.now += gate.ask("WRONG").wait_s
    assert gate.ask(CODE).admitted
    assert gate.ask("WRONG").wait_s == FIRST_WAIT_S


@given(st.lists(st.tuples(st.sampled_from(["WRONG", "793A"]), st.floats(0, 100)), max_size=60))
def test_in_any_stretch_of_time_few_codes_are_looked_at(tries):
    """Whatever comes and when: codes looked at in a row are at least as far apart as the wait that was told."""
    clock = Clock()
    gate, last = Gate(CODE, clock), None
    for code, pause in tries:
        clock.now += pause
        answer = gate.ask(code)
        if answer.looked:
            assert last is None or clock.now >= last[0] + last[1]
            assert FIRST_WAIT_S <= answer.wait_s <= LONGEST_WAIT_S
            last = clock.now, answer.wait_s


def test_a_new_code_has_no_look_alikes_and_is_another_each_time():
    codes = {access.new_code() for _ in range(200)}
    assert len(codes) == 200
    assert {len(code) for code in codes} == {8}
    assert not set("".join(codes)) & set("0OQ1IL2Z5S8BUV")


def test_a_code_of_the_users_own_must_be_long_enough():
    assert access.stated_code({}) is None
    assert access.stated_code({access.VARIABLE: "workshop 7"}) == "workshop 7"
    for short in ("", "       ", "1234567", "12-34 56-7"):
        with pytest.raises(BodymapError, match="8 or more"):
            access.stated_code({access.VARIABLE: short})


@pytest.mark.parametrize(
    ("address", "here"),
    [("127.0.0.1", True), ("::1", True), ("localhost", True), ("0.0.0.0", False), ("192.0.2.7", False), ("van", False)],
)
def test_which_addresses_are_this_machine_only(address, here):
    assert access.only_here(address) is here


def test_an_address_that_is_not_stated_is_every_address():
    assert not access.only_here(None)


# --- the page -----------------------------------------------------------------------------------------------------------


def said(at: AppTest) -> str:
    """Everything on the page, labels and options too, as Streamlit would send it."""
    return "\n".join(str(getattr(element, "proto", "")) for element in at._tree)


@pytest.fixture
def asking(record_path, monkeypatch):
    """A server with a code, whose clock goes when it is told to."""
    clock = Clock()
    ours = Gate(CODE, clock)
    monkeypatch.setenv(access.VARIABLE, CODE)
    monkeypatch.setattr("dashboard.components.access.gate", lambda: ours)
    return clock


def window() -> AppTest:
    at = AppTest.from_file(str(APP), default_timeout=60).run()
    assert not at.exception
    return at


def try_code(at: AppTest, code: str) -> AppTest:
    at.text_input[0].set_value(code)
    at.button[0].click().run()
    assert not at.exception
    return at


def test_nothing_of_the_record_is_shown_or_read_before_the_code(asking, monkeypatch):
    def read(*_said):
        raise AssertionError("the record was looked at")

    monkeypatch.setattr("dashboard.loaders.record_path", read)
    at = window()
    assert "Access code" in said(at)
    assert "Test van" not in said(at)
    try_code(at, "WRONG")
    assert "That is not the code" in said(at)
    assert "Test van" not in said(at)


def test_the_right_code_lets_one_window_in_and_no_other(asking):
    at = try_code(window(), "793a ffda")
    assert "Test van" in said(at)
    assert "Access code" not in said(at)
    assert "Test van" in said(at.run())
    other = window()
    assert "Access code" in said(other)
    assert "Test van" not in said(other)


def test_a_new_window_begins_no_new_count(asking):
    assert "Wait 1 second before" in said(try_code(window(), "WRONG"))
    other = try_code(window(), CODE)
    assert "Too early" in said(other)
    assert "Test van" not in said(other)
    asking.now += 1.5
    assert "Wait 2 seconds" in said(try_code(window(), "WRONG"))
    asking.now += 2
    assert "Test van" in said(try_code(other, CODE))


def test_what_was_typed_is_not_kept(asking):
    at = try_code(window(), "WRONG-ONE")
    assert "WRONG-ONE" not in said(at)
    assert "WRONG-ONE" not in repr(at.session_state)


def test_a_server_on_the_network_without_a_code_shows_nothing(record_path):
    config.set_option("server.address", "0.0.0.0")
    at = window()
    assert "has no access code" in said(at)
    assert "Test van" not in said(at)


def test_on_this_machine_no_code_is_asked(record_path):
    assert "Test van" in said(window())


# --- starting it --------------------------------------------------------------------------------------------------------


class Started:
    """In place of the server's process: what it was started with."""

    def __init__(self, argv, env):
        self.argv, self.env = argv, env

    def poll(self):
        return 0

    def wait(self):
        return 0

    def terminate(self):
        pass


@pytest.fixture
def started(monkeypatch):
    processes = []

    def start(argv, env):
        processes.append(Started(argv, env))
        return processes[-1]

    monkeypatch.setattr(serve, "subprocess", SimpleNamespace(Popen=start))
    return processes


def test_open_lan_tells_a_code_and_warns_without_tls(record_path, started, capsys):
    assert main(["open", str(record_path), "--lan", "--port", "8798"]) == 0
    (server,) = started
    out = capsys.readouterr().out
    code = server.env[access.VARIABLE]
    assert f"Access code: {code[:4]}-{code[4:]}" in out
    assert "Warning: without --cert and --key" in out
    assert "http://" in out
    assert not [word for word in server.argv if code in word]  # other users of the machine can read arguments


def test_a_code_of_ones_own_is_used_and_not_told(record_path, started, capsys, monkeypatch):
    monkeypatch.setenv(access.VARIABLE, "workshop seven")
    assert main(["open", str(record_path), "--lan"]) == 0
    assert started[0].env[access.VARIABLE] == "workshop seven"
    out = capsys.readouterr().out
    assert "seven" not in out
    assert access.VARIABLE in out


def test_a_code_that_is_too_short_starts_nothing(record_path, started, capsys, monkeypatch):
    monkeypatch.setenv(access.VARIABLE, "1234")
    assert main(["open", str(record_path), "--lan"]) == 2
    assert "8 or more" in capsys.readouterr().err
    assert started == []


def test_without_lan_there_is_no_code(record_path, started, capsys):
    assert main(["open", str(record_path)]) == 0
    assert access.VARIABLE not in started[0].env
    assert "code" not in capsys.readouterr().out


@pytest.fixture
def pair(tmp_path):
    """A certificate of our own making and its key, and another key."""
    return certificate(tmp_path)


def test_with_a_certificate_it_answers_over_https_and_does_not_warn(record_path, started, pair, capsys):
    cert, key = pair
    assert main(["open", str(record_path), "--lan", "--cert", str(cert), "--key", str(key), "--host", "shop.example"]) == 0
    (server,) = started
    assert f"--server.sslCertFile={cert}" in server.argv
    assert f"--server.sslKeyFile={key}" in server.argv
    assert "--server.allowedHosts=shop.example" in server.argv
    out = capsys.readouterr().out
    assert "Warning" not in out
    assert "From another machine: https://shop.example:" in out


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ("missing", "--key: found no file"),
        ("not PEM", "are no certificate with its key"),
        ("cert alone", "found --cert alone"),
        ("another key", "are no certificate with its key"),
        ("key with password", "are no certificate with its key, without a password"),
    ],
)
def test_a_certificate_that_is_none_is_told_and_nothing_starts(record_path, started, pair, tmp_path, capsys, wrong, words):
    cert, key = pair
    said_pair = ["--cert", str(cert), *([] if wrong == "cert alone" else ["--key", str(key)])]
    if wrong == "missing":
        key.unlink()
    elif wrong == "not PEM":
        cert.write_text("Dear sir,")
    elif wrong == "another key":
        (tmp_path / "other").mkdir()
        key.write_bytes(certificate(tmp_path / "other")[1].read_bytes())
    elif wrong == "key with password":
        lock(key)
    assert main(["open", str(record_path), "--lan", *said_pair]) == 2
    assert words in capsys.readouterr().err
    assert started == []


def test_names_of_this_machine_are_listed_without_its_loopback(monkeypatch):
    monkeypatch.setattr(network.socket, "gethostname", lambda: "Shop")
    names = network.own_names()
    assert names[:2] == ["shop", "shop.local"]
    assert not [name for name in names if name.startswith("127.")]


def test_a_machine_without_network_has_its_names_only(monkeypatch):
    def none(*_said):
        raise OSError

    monkeypatch.setattr(network.socket, "gethostname", lambda: "shop.example")
    monkeypatch.setattr(network.socket, "getaddrinfo", none)
    monkeypatch.setattr(network.socket, "socket", none)
    assert network.own_names() == ["shop.example"]


def test_what_protects_is_said_outright(monkeypatch):
    """An option on the command line stands above the user's configuration files and environment."""
    monkeypatch.setattr(sys, "argv", ["streamlit"])
    for lan in (False, True):
        argv = serve.command(Path("a"), 1, lan=lan)
        for wanted in ("enableCORS=true", "enableXsrfProtection=true", "enableStaticServing=false", "enableAgentApi=false"):
            assert f"--server.{wanted}" in argv
        hosts = {word.split("=")[1] for word in argv if word.startswith("--server.allowedHosts=")}
        assert {"localhost", "127.0.0.1"} <= hosts
        assert not {host for host in hosts if "*" in host}
