"""Trying to write: what went wrong is told, and what was typed stays."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

import streamlit as st
from pydantic import ValidationError

from bodymap.errors import BodymapError, ConflictError
from bodymap.model.journal import JournalEntry
from dashboard.actions_survey import in_words
from dashboard.words import plain

T = TypeVar("T")


def attempt(write: Callable[[], T], failed: str = "Not saved", *, invalid: str = "") -> T | None:
    """What `write` gives; None where it failed, which is told.

    `failed`: how that begins. `invalid`: what is said of a value the record cannot hold; blank: what the record says.
    """
    try:
        return write()
    except ConflictError as error:
        told = f": somebody else changed it meanwhile, and nothing was written over. {plain(str(error))}"
    except ValidationError as error:
        told = f". {invalid or plain(in_words(error))}"
    except (BodymapError, OSError, ValueError) as error:
        told = f". {plain(str(error))}"
    st.error(f"{failed}{told}{'' if told.endswith('.') else '.'} What is entered stays.")
    return None


def which(entries: Sequence[JournalEntry]) -> str:
    """Entries just written, by their numbers."""
    first, last = entries[0].seq, entries[-1].seq
    return f"entry {first} of the record" if first == last else f"entries {first} to {last} of the record"
