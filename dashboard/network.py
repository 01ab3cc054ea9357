"""What a dashboard needs that is reached over the local network: its names, HTTPS, and what its user has to know."""

from __future__ import annotations

import os
import socket
import ssl
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from bodymap.errors import BodymapError
from dashboard.access import VARIABLE, in_groups

_NOWHERE = "192.0.2.1"  # an address for documentation (RFC 5737): nothing is sent to it
_NO_TLS = (
    "without --cert and --key everything goes over the network as it is, the access code too: do so only on a network "
    "of which you know every machine"
)


@dataclass(frozen=True)
class Tls:
    """Certificate and private key (PEM files) for HTTPS."""

    cert: Path
    key: Path

    def check(self) -> None:
        """That they can be read and belong together. Raises BodymapError."""
        for name, path in (("--cert", self.cert), ("--key", self.key)):
            if not path.is_file():
                raise BodymapError(f"{name}: found no file {path}; allowed: a PEM file")
        try:
            context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
            context.load_cert_chain(self.cert, self.key, password=lambda: b"")  # a key with a password is not asked for it
        except (ssl.SSLError, OSError, ValueError) as error:
            raise BodymapError(
                f"--cert, --key: {self.cert} and {self.key} are no certificate with its key, without a password ({error})"
            ) from error


def lan_lines(code: str, urls: Iterable[str], tls: Tls | None) -> list[str]:
    """What stands on the terminal of a server that listens on the local network."""
    shown = in_groups(code) if VARIABLE not in os.environ else f"as {VARIABLE} says"
    return [
        f"Access code: {shown}",
        *(f"From another machine: {url}" for url in urls),
        *([] if tls else [f"Warning: {_NO_TLS}"]),
    ]


def own_names() -> list[str]:
    """Names and IPv4 addresses by which other machines of the local network may call this one."""
    name = socket.gethostname().lower()
    found = [name] if "." in name else [name, f"{name}.local"]
    with suppress(OSError):  # it does not know its own name
        found += [str(entry[4][0]) for entry in socket.getaddrinfo(name, None, socket.AF_INET)]
    with suppress(OSError), socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:  # there is no network
        probe.connect((_NOWHERE, 9))
        found.append(str(probe.getsockname()[0]))
    return [host for host in dict.fromkeys(found) if host and not host.startswith("127.")]
