"""Certificates of our own making, by the openssl program."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

from tests.conftest import missing

_ASKED = "req -x509 -newkey rsa:2048 -nodes -days 2 -subj /CN=localhost -addext subjectAltName=DNS:localhost,IP:127.0.0.1"


def certificate(folder: Path) -> tuple[Path, Path]:
    """A certificate for this machine and its key, in a folder."""
    if shutil.which("openssl") is None:
        missing("no openssl on the PATH")
    cert, key = folder / "cert.pem", folder / "key.pem"
    openssl(*_ASKED.split(), "-keyout", str(key), "-out", str(cert))
    return cert, key


def lock(key: Path) -> None:
    """Puts a password on a key."""
    locked = key.with_name("locked.pem")
    openssl("rsa", "-aes256", "-passout", "pass:secret", "-in", str(key), "-out", str(locked))
    locked.replace(key)


def openssl(*words: str) -> None:
    subprocess.run(["openssl", *words], check=True, capture_output=True)
