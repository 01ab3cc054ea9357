"""Every bound on speed, each against something public in the same run: `python -m tests.bench [journal overlay …]`.

Exit code 1: a bound was missed. What else the machine does falls on both sides of a ratio, but not evenly: run it while
nothing else runs.
"""

from __future__ import annotations

import importlib
import os
import sys
from pathlib import Path

from tests.bench.measure import HEADER

BENCHES = ("screen", "rerun", "surface", "overlay", "journal", "history", "template")


def main(names: list[str]) -> int:
    """Measures and prints the table."""
    unknown = [name for name in names if name not in BENCHES]
    if unknown:
        sys.stderr.write(f"found {', '.join(unknown)}; allowed: {', '.join(BENCHES)}\n")
        return 2
    if hasattr(os, "getloadavg"):
        _tell(f"load {os.getloadavg()[0]:.1f} on {os.cpu_count()} processors")
    _tell(HEADER)
    kept = True
    for name in names or BENCHES:
        for row in importlib.import_module(f"{__package__}.bench_{name}").rows():
            _tell(str(row))
            kept = kept and row.kept
    return 0 if kept else 1


def _tell(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    # One thread each: two that wait for one another at every step are not what is measured.
    os.environ |= dict.fromkeys(("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"), "1")
    os.chdir(Path(__file__).parents[2])
    sys.exit(main(sys.argv[1:]))
