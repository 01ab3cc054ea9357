"""Which screen a save was made on, told from what it wrote: undo offers on a screen what was done there, and nothing else.

Each function is given all entries of one save.
"""

from __future__ import annotations

from collections.abc import Sequence

from bodymap.model import JournalEntry
from bodymap.model.source import LIES, STEP_DONE
from dashboard.actions_film import TAKEN_IN
from dashboard.actions_rehearsal import ACCEPTED, AFTER

Save = Sequence[JournalEntry]
SURVEY = "Survey: "


def on_parts(save: Save) -> bool:
    """Parts: where one lies, what it is and hides. Other sources are the survey's."""
    return all(one.kind != "source" or _says(one, "title").startswith(LIES) for one in save)


def on_progress(save: Save) -> bool:
    """Progress of the rehearsal: a step told done, with the signature for its coat, or readings after a coat."""
    return all(_of_progress(one) for one in save)


def _of_progress(entry: JournalEntry) -> bool:
    if entry.kind == "source":
        return STEP_DONE.match(_says(entry, "title")) is not None
    if entry.kind == "reading":
        return _says(entry, "spot").startswith(AFTER)
    return entry.kind == "signoff" and _says(entry, "what") == ACCEPTED


def on_survey(save: Save) -> bool:
    """The survey: every reason it gives begins alike."""
    return save[0].why.startswith(SURVEY)


def on_gauge(save: Save) -> bool:
    """A gauge file taken in."""
    return save[0].why.startswith(TAKEN_IN)


def _says(entry: JournalEntry, name: str) -> str:
    """What an entry says under a name; nothing where it withdraws."""
    return str((entry.body or {}).get(name) or "")
