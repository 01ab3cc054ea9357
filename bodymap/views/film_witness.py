"""What the film says of the stories that the stacks leave open, in words."""

from __future__ import annotations

from dataclasses import dataclass

from bodymap.film.stories import FilmStories, StoryTest
from bodymap.history.words import Names
from bodymap.model.record import Record


@dataclass(frozen=True)
class FilmWitness:
    """Tests that separate the stories, and those that cannot, each a sentence with its figures.

    `silent`: how many facts short of proven no film speaks of. `why_none`: why there are no tests; empty: there may be.
    """

    separates: tuple[str, ...]
    cannot: tuple[str, ...]
    silent: int
    why_none: str


def film_witness(record: Record, stories: FilmStories) -> FilmWitness:
    """The tests in words; those that say the same once."""
    names = Names(record)
    # What differs from the plain story comes first.
    telling = sorted(
        (test for test in stories.tests if test.verdict == "separates"), key=lambda test: test.fitting == ("once",)
    )
    separates = [_told(names, record, test) for test in telling]
    cannot = [_told(names, record, test) for test in stories.tests if test.verdict != "separates"]
    return FilmWitness(
        tuple(dict.fromkeys(separates)), tuple(dict.fromkeys(cannot)), len(stories.silent), stories.why_none or ""
    )


def _told(names: Names, record: Record, test: StoryTest) -> str:
    return f"{record.zone[test.zone].title}, {names.coat(test.coat)}, by {test.basis}: {test.why}"
