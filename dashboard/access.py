"""The access code of a dashboard that listens on the local network: one for a server, asked before anything is shown.

The code reaches the server's process through its environment, never through its argument list, which others can read.
Wrong codes are counted for the server as a whole, so that a new window, a reload or another machine begins no new count.
"""

from __future__ import annotations

import hmac
import ipaddress
import os
import secrets
import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from threading import Lock

from bodymap.errors import BodymapError

VARIABLE = "BODYMAP_ACCESS_CODE"
LEAST_CHARACTERS = 8
FIRST_WAIT_S, LONGEST_WAIT_S = 1.0, 60.0
# Without 0 O Q, 1 I L, 2 Z, 5 S, 8 B, U V: nobody has to guess what was read off a terminal. 22^8 is 5e10: at one try a
# minute a thousand years go through a hundredth of them.
LETTERS = "34679ACDEFGHJKMNPRTWXY"


@dataclass(frozen=True)
class Answer:
    """Whether a code was the right one, and how long the next try has to wait. `looked`: no: it came too early."""

    admitted: bool
    wait_s: float = 0.0
    looked: bool = True


class Gate:
    """Lets in who knows the code; after each wrong one everybody waits twice as long."""

    def __init__(self, code: str, clock: Callable[[], float] = time.monotonic) -> None:
        self._code = bare(code).encode()
        self._clock = clock
        self._lock = Lock()
        self._wrong = 0
        self._closed_until = clock()

    def ask(self, given: str) -> Answer:
        """Looks at a code; one that comes while the gate is closed is not looked at, be it right or wrong."""
        with self._lock:
            wait_s = self._closed_until - self._clock()
            if wait_s > 0:
                return Answer(admitted=False, wait_s=wait_s, looked=False)
            if hmac.compare_digest(bare(given).encode("utf-8", "replace"), self._code):
                self._wrong = 0
                return Answer(admitted=True)
            self._wrong += 1
            wait_s = min(LONGEST_WAIT_S, FIRST_WAIT_S * 2.0 ** min(self._wrong - 1, 16))
            self._closed_until = self._clock() + wait_s
            return Answer(admitted=False, wait_s=wait_s)


@dataclass
class Pass:
    """What one browser window holds: the gate that let it in. It is kept in the server, never in the browser."""

    gate: Gate | None = None


def new_code() -> str:
    """A code nobody can guess."""
    return "".join(secrets.choice(LETTERS) for _ in range(LEAST_CHARACTERS))


def bare(code: str) -> str:
    """A code as it is compared: in capitals, without blanks and hyphens."""
    return "".join(code.upper().split()).replace("-", "")


def in_groups(code: str) -> str:
    """A code as it is shown: in groups of four."""
    return "-".join(code[place : place + 4] for place in range(0, len(code), 4))


def stated_code(environment: Mapping[str, str]) -> str | None:
    """The code that the user chose; None: none was chosen.

    Raises:
        BodymapError: it is too short to keep anybody out.
    """
    stated = environment.get(VARIABLE)
    if stated is None:
        return None
    length = len(bare(stated))
    if length < LEAST_CHARACTERS:
        raise BodymapError(
            f"{VARIABLE}: found {length} characters; allowed: {LEAST_CHARACTERS} or more beside blanks and hyphens"
        )
    return stated


@cache
def gate() -> Gate | None:
    """The gate of this server; None: it has no code."""
    code = stated_code(os.environ)
    return None if code is None else Gate(code)


def only_here(address: str | None) -> bool:
    """Whether a server that listens on this address is reached from its own machine only. None: every address."""
    if address is None:
        return False
    try:
        return ipaddress.ip_address(address).is_loopback
    except ValueError:
        return address == "localhost"
