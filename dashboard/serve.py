"""Starting the dashboard: its argument list, a free port, and the browser. No file in the user's folder is needed."""

from __future__ import annotations

import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
import webbrowser
from pathlib import Path

from bodymap.errors import BodymapError
from dashboard.theme import streamlit_options

FIRST_PORT = 8501
_PORTS_TRIED = 100
_PORT_MOST = 65_535
_UPLOAD_MB = 50
_PATIENCE_S = 60.0
_HERE, _EVERYWHERE = "127.0.0.1", "0.0.0.0"  # noqa: S104 - only where the user asks for the local network


def command(record: Path, port: int, lan: bool = False) -> list[str]:  # noqa: FBT001, FBT002 - agreed with the commands
    """Arguments that start the dashboard on a record file or an open folder.

    Args:
        record: a record file (.gpkg), or an open folder, which is shown and not changed.
        port: TCP port to listen on.
        lan: listen on the local network too, not only on this machine.
    """
    options = {
        "server.headless": "true",
        "server.address": _EVERYWHERE if lan else _HERE,
        "server.port": str(port),
        "server.fileWatcherType": "none",
        "server.maxUploadSize": str(_UPLOAD_MB),
        "browser.gatherUsageStats": "false",
        "browser.serverAddress": "localhost",
        "client.toolbarMode": "minimal",
        "client.showErrorDetails": "none",
        "client.showErrorLinks": "false",
        **streamlit_options(),
    }
    flags = [f"--{name}={value}" for name, value in options.items()]
    if not lan:
        # A page elsewhere cannot reach this server by giving its own name this machine's address.
        flags += [f"--server.allowedHosts={host}" for host in ("localhost", _HERE)]
    app = Path(__file__).with_name("app.py")
    return [sys.executable, "-m", "streamlit", "run", str(app), *flags, "--", str(record)]


def serve(record: Path, port: int | None = None, lan: bool = False, browser: bool = True) -> int:  # noqa: FBT001, FBT002
    """Run the dashboard until it is stopped; returns its exit code."""
    if port is not None and not 1 <= port <= _PORT_MOST:
        raise BodymapError(f"port: found {port}; allowed: 1 to {_PORT_MOST}")
    port = free_port() if port is None else port
    server = subprocess.Popen(command(record, port, lan))  # noqa: S603 - our own arguments, no shell
    try:
        if wait_until_ready(server, port) and browser:
            webbrowser.open(f"http://localhost:{port}")
        return server.wait()
    except KeyboardInterrupt:
        return 0
    finally:
        server.terminate()
        server.wait()


def free_port(first: int = FIRST_PORT) -> int:
    """The first TCP port from `first` on which nothing listens on this machine."""
    for port in range(first, first + _PORTS_TRIED):
        with socket.socket() as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind((_HERE, port))
            except OSError:
                continue
            return port
    raise OSError(f"no free port from {first} to {first + _PORTS_TRIED - 1}")


def wait_until_ready(server: subprocess.Popen[bytes], port: int, patience_s: float = _PATIENCE_S) -> bool:
    """Whether the server answers within `patience_s` seconds (no: it ended, or is slow)."""
    until = time.monotonic() + patience_s
    while time.monotonic() < until and server.poll() is None:
        try:
            with urllib.request.urlopen(f"http://{_HERE}:{port}/_stcore/health", timeout=1):
                return True
        except (urllib.error.URLError, OSError):
            time.sleep(0.1)
    return False
