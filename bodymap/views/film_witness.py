"""What the film says of the stories that the stacks leave open, in words."""

from __future__ import annotations

from dataclasses import dataclass

from bodymap.film.stories import FilmStories, StoryTest
from bodymap.history.words import Names
from bodymap.model.record import Record


@dataclass(frozen=True)
class FilmWitness:
    """Tests that separate the stories, and those that cannot, each a sentence with its figures.

    `speaks`: the film tells of something else than a coat laid once. `once`: it bears out that a coat was laid once.
    `silent`: how many facts short of proven no film speaks of. `why_none`: why there are no tests; empty: there may be.
    """

    speaks: tuple[str, ...]
    once: tuple[str, ...]
    cannot: tuple[str, ...]
    silent: int
    why_none: str


def film_witness(record: Record, stories: FilmStories) -> FilmWitness:
    """The tests in words; those that say the same once."""
    names = Names(record)
    speaks: dict[str, None] = {}
    once: dict[str, None] = {}
    cannot: dict[str, None] = {}
    for test in stories.tests:
        lines = cannot if test.verdict != "separates" else once if test.fitting == ("once",) else speaks
        lines[_told(names, record, test)] = None  # said once, in the order it was found
    return FilmWitness(tuple(speaks), tuple(once), tuple(cannot), len(stories.silent), stories.why_none or "")


def _told(names: Names, record: Record, test: StoryTest) -> str:
    return f"{record.zone[test.zone].title}, {names.coat(test.coat)}, by {test.basis}: {test.why}"
