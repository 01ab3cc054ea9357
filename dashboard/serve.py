"""Starting the dashboard: its argument list, a free port, and the browser. No file in the user's folder is needed."""

from __future__ import annotations

import os
import socket
import ssl
import subprocess
import sys
import time
import urllib.error
import urllib.request
import webbrowser
from collections.abc import Callable, Iterable
from pathlib import Path

from bodymap.errors import BodymapError
from dashboard.access import VARIABLE, new_code, stated_code
from dashboard.network import Tls, lan_lines, own_names
from dashboard.theme import streamlit_options

FIRST_PORT = 8501
_PORTS_TRIED = 100
_PORT_MOST = 65_535
_UPLOAD_MB = 50
_PATIENCE_S = 60.0
_HERE, _EVERYWHERE = "127.0.0.1", "0.0.0.0"  # noqa: S104 - only where the user asks for the local network


def command(
    record: Path,
    port: int,
    lan: bool = False,  # noqa: FBT001, FBT002 - agreed with the commands
    tls: Tls | None = None,
    hosts: Iterable[str] = (),
) -> list[str]:
    """Arguments that start the dashboard on a record file or an open folder.

    What protects is said outright, so that no configuration file of the user's can switch it off.

    Args:
        record: a record file (.gpkg), or an open folder, which is shown and not changed.
        port: TCP port to listen on.
        lan: listen on the local network too, not only on this machine; then an access code has to be in the environment.
        tls: answer over HTTPS with this certificate.
        hosts: further names by which this machine is called.
    """
    options = {
        "server.headless": "true",
        "server.address": _EVERYWHERE if lan else _HERE,
        "server.port": str(port),
        "server.fileWatcherType": "none",
        "server.maxUploadSize": str(_UPLOAD_MB),
        "server.enableCORS": "true",
        "server.enableXsrfProtection": "true",
        "server.enableStaticServing": "false",
        "server.enableAgentApi": "false",
        "server.scriptHealthCheckEnabled": "false",
        "server.trustedUserHeaders": "{}",
        "browser.gatherUsageStats": "false",
        "browser.serverAddress": "localhost",
        # The collector would walk through the whole record after every touch; it runs often enough by itself.
        "runner.postScriptGC": "false",
        "client.toolbarMode": "minimal",
        "client.showErrorDetails": "none",
        "client.showErrorLinks": "false",
        **streamlit_options(),
    }
    if tls:
        options |= {"server.sslCertFile": str(tls.cert.resolve()), "server.sslKeyFile": str(tls.key.resolve())}
    flags = [f"--{name}={value}" for name, value in options.items()]
    # A page elsewhere cannot reach this server by giving its own name this machine's address.
    names = dict.fromkeys(["localhost", _HERE, *(own_names() if lan else ()), *hosts])
    flags += [f"--server.allowedHosts={host}" for host in names]
    app = Path(__file__).with_name("app.py")
    return [sys.executable, "-m", "dashboard.ready", "run", str(app), *flags, "--", str(record)]


def serve(
    record: Path,
    port: int | None = None,
    lan: bool = False,  # noqa: FBT001, FBT002
    browser: bool = True,  # noqa: FBT001, FBT002
    tls: Tls | None = None,
    hosts: Iterable[str] = (),
    say: Callable[[str], object] = print,
) -> int:
    """Run the dashboard until it is stopped; returns its exit code. `say` is told what the user must know."""
    if tls:
        tls.check()
    if port is not None and not 1 <= port <= _PORT_MOST:
        raise BodymapError(f"port: found {port}; allowed: 1 to {_PORT_MOST}")
    port = free_port() if port is None else port
    hosts, scheme, environment = tuple(hosts), "https" if tls else "http", dict(os.environ)
    if lan:
        code = stated_code(os.environ) or new_code()
        environment[VARIABLE] = code
        for line in lan_lines(code, [f"{scheme}://{host}:{port}" for host in (*hosts, *own_names())], tls):
            say(line)
    server = subprocess.Popen(command(record, port, lan, tls, hosts), env=environment)  # noqa: S603 - no shell
    try:
        if wait_until_ready(server, port, tls=tls is not None) and browser:
            webbrowser.open(f"{scheme}://localhost:{port}")
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


def wait_until_ready(
    server: subprocess.Popen[bytes], port: int, patience_s: float = _PATIENCE_S, *, tls: bool = False
) -> bool:
    """Whether the server answers within `patience_s` seconds (no: it ended, or is slow)."""
    context = ssl.create_default_context()
    # The certificate is for the name others call, not for this address; nothing is said to the server here.
    context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
    url = f"{'https' if tls else 'http'}://{_HERE}:{port}/_stcore/health"
    until = time.monotonic() + patience_s
    while time.monotonic() < until and server.poll() is None:
        try:
            with urllib.request.urlopen(url, timeout=1, context=context):  # noqa: S310 - http or https, this machine
                return True
        except (urllib.error.URLError, OSError):
            time.sleep(0.1)
    return False
