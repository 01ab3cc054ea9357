"""For all tests: examples are the same on every run of CI, and no test fails for being slow."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("anywhere", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "anywhere")
