"""Start a record: shown while the record named at the start is not there yet."""

from __future__ import annotations

from dashboard import loaders
from dashboard.components import start_form

start_form.show(loaders.record_path().resolve())
