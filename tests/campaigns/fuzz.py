"""Fuzzing of the parsers: python -m tests.campaigns.fuzz svg --minutes 10

Coverage-guided where atheris is installed (it is no dependency); each input reads or is refused with an error of ours,
within 5 s and 1 GiB. What does not is written to the folder `found`, named by what happened, and ends the run with 1.
"""

from __future__ import annotations

import argparse
import contextlib
import sys
import tempfile
from pathlib import Path

NAMES = ("svg", "geojson", "gauge", "step_card", "plan", "journal", "picture", "folder_table")


def main() -> None:
    """Fuzz one parser."""
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("parser", choices=NAMES)
    arguments.add_argument("--minutes", type=float, default=10)
    arguments.add_argument("--seconds", type=int, default=5, help="most for one input; more where the machine is busy")
    arguments.add_argument("--found", type=Path, default=Path("found"))
    said = arguments.parse_args()
    import atheris

    with atheris.instrument_imports(include=["bodymap", "svgelements", "defusedxml", "csv", "json", "PIL"]):
        from tests.campaigns import parsers
    from bodymap.errors import BodymapError

    parse = parsers.folder_table if said.parser == "folder_table" else parsers.PARSERS[said.parser]

    def one(data: bytes) -> None:
        with contextlib.suppress(BodymapError):
            parse(data)

    said.found.mkdir(exist_ok=True, parents=True)
    corpus = Path(tempfile.mkdtemp(prefix="bodymap-fuzz-"))
    for number, seed in enumerate(parsers.seeds(said.parser)):
        (corpus / f"seed-{number}").write_bytes(seed)
    flags = [
        f"-max_total_time={round(said.minutes * 60)}",
        f"-timeout={said.seconds}",
        "-rss_limit_mb=1024",
        "-max_len=20000",
        "-print_final_stats=1",
        f"-artifact_prefix={said.found}/{said.parser}-",
        str(corpus),
    ]
    atheris.Setup([sys.argv[0], *flags], one)
    atheris.Fuzz()


if __name__ == "__main__":
    main()
