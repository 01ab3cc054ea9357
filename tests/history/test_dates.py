"""Dates carried along the order of coats. Hand-made cases worked out here; networkx closes the order for the slow twin."""

from __future__ import annotations

import random
from dataclasses import replace

import networkx as nx
import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.exchange.open_folder import read_folder
from bodymap.history.dates import days_of, read_dates
from bodymap.history.read import read_history
from bodymap.history.report import history_json
from bodymap.history.set_aside import set_aside
from bodymap.model import Source
from demo import VEHICLE_FOLDER
from tests.history.cases import van

CHAIN = {"S1": "z a b", "S2": "z b c"}


def source(ident, kind, date, about):
    return Source(source_id=ident, kind=kind, title=f"Title {ident}", date=date, about=tuple(about.split()))


def dated(record, *sources):
    return replace(record, sources=sources)


def bounds(record):
    return {
        coat: tuple(bound and (bound.day, bound.source) for bound in (found.not_before, found.there_by))
        for coat, found in read_dates(record).bounds.items()
    }


@pytest.mark.parametrize(
    ("date", "days"),
    [
        # ISO 8601: a date of reduced accuracy is the whole year or month; Gregorian leap years (1900 is none, 2000 is one)
        ("1969", ("1969-01-01", "1969-12-31")),
        ("1900-02", ("1900-02-01", "1900-02-28")),
        ("2000-02", ("2000-02-01", "2000-02-29")),
        ("1971-03-18", ("1971-03-18", "1971-03-18")),
        ("1971-03-18T09:30+01:00", ("1971-03-18", "1971-03-18")),
        ("1969-07/1971", ("1969-07-01", "1971-12-31")),
    ],
)
def test_a_date_in_part_is_all_the_days_it_may_be(date, days):
    assert days_of(date) == days


@pytest.mark.parametrize("kind", ["photo", "sample", "measurement", "document"])
def test_a_coat_that_was_there_bounds_itself_and_all_under_it_and_none_over_it(kind):
    record = dated(van(zones="z:shell", coats="a b c", stacks=CHAIN), source("Q", kind, "1969", "b"))
    assert bounds(record) == {"a": (None, ("1969-12-31", "Q")), "b": (None, ("1969-12-31", "Q"))}
    because = read_dates(record).bounds["a"].there_by.because
    assert len(because) == 2
    assert "Q (" in because[0]
    assert "S1" in because[1]


@pytest.mark.parametrize("kind", ["statement", "drawing"])
def test_what_is_dated_when_it_was_made_bounds_nothing_and_says_so(kind):
    dates = read_dates(dated(van(zones="z:shell", coats="a b c", stacks=CHAIN), source("Q", kind, "1969", "b")))
    assert dates.bounds == {}
    assert [one.source for one in dates.no_bound] == ["Q"]


@pytest.mark.parametrize("title", ["Step 32 done: coat; batch 24-117", "step 4 done by mistake", "Where it lies: rack A"])
def test_what_the_work_itself_leaves_is_passed_over(title):
    record = van(zones="z:shell", coats="a b c", stacks=CHAIN)
    told = Source(source_id="D1", kind="statement", title=title, date="2026-03-01", about=("b",))
    assert read_dates(dated(record, told)) == read_dates(record)


def cap(*sources):
    """A cap that came with b, on which b and c were seen; a is on the shell only, under c."""
    stacks = {"S1": "z a c", "S2": "top* b c"}
    parts, zones = "shell!, cap@b", "z:shell, top:cap"
    return dated(van(parts=parts, zones=zones, coats="a b c", stacks=stacks), *sources)


def test_the_paper_of_a_part_that_came_later_bounds_the_coats_it_names_on_that_part_from_below():
    assert bounds(cap(source("Q", "document", "1971", "cap b"))) == {
        "b": (("1971-01-01", "Q"), None),
        "c": (("1971-01-01", "Q"), None),
    }
    # a coat that was never on the part was there by then
    assert bounds(cap(source("Q", "document", "1971", "cap a")))["a"] == (None, ("1971-12-31", "Q"))
    # a photograph of part and coat shows them there
    assert bounds(cap(source("Q", "photo", "1971", "cap b")))["b"] == (None, ("1971-12-31", "Q"))


def test_of_several_papers_of_a_part_the_earliest_tells_of_its_coming():
    found = bounds(cap(source("Q1", "document", "1998", "cap b"), source("Q2", "document", "1971", "cap b")))
    assert found["b"] == (("1971-01-01", "Q2"), ("1998-12-31", "Q1"))


def test_a_paper_that_names_a_part_but_no_coat_bounds_nothing_and_says_so():
    dates = read_dates(cap(source("Q", "document", "1998", "cap")))
    assert dates.bounds == {}
    assert [one.source for one in dates.no_bound] == ["Q"]


def test_sources_that_say_nothing_of_coats_or_have_no_date_are_passed_over():
    sources = source("Q1", "photo", None, "b"), source("Q2", "photo", "1971", "shell z")
    dates = read_dates(cap(*sources))
    assert (dates.bounds, dates.conflicts, dates.no_bound) == ({}, (), ())


def test_an_interval_that_ends_before_it_begins_bounds_nothing():
    dates = read_dates(cap(source("Q", "photo", "1971/1969", "b")))
    assert dates.bounds == {}
    assert "ends before it begins" in dates.no_bound[0].why


def test_a_conflict_names_both_sources_and_the_chain_between():
    dates = read_dates(cap(source("Q1", "photo", "1969-07", "c"), source("Q2", "document", "1971-03-18", "cap b")))
    (conflict,) = dates.conflicts
    assert (conflict.not_before, conflict.there_by) == ("Q2", "Q1")
    (way,) = conflict.ways
    assert way.coats == ("b", "c")
    assert len(way.because) == 3
    assert [word in text for word, text in zip(("Q2", "S2", "Q1"), way.because, strict=True)] == [True] * 3
    # both bounds stand, and are in doubt
    assert dates.bounds["c"].there_by.against == ("Q2",)
    assert dates.bounds["c"].not_before.against == ("Q1",)


def test_a_day_that_both_allow_is_no_conflict():
    """Photograph in 1971 and paper of March 1971: the coat may have gone on between."""
    late, early = source("Q2", "document", "1971-03-18", "cap b"), source("Q1", "photo", "1971", "c")
    assert read_dates(cap(late, early)).conflicts == ()
    assert read_dates(cap(late, source("Q1", "photo", "1971-03-18", "c"))).conflicts == ()
    assert len(read_dates(cap(late, source("Q1", "photo", "1971-03-17", "c"))).conflicts) == 1


def test_relations_that_run_in_a_circle_carry_no_date():
    stacks = {"S1": "z a b", "S2": "z b a", "S3": "z b c"}
    found = bounds(dated(van(zones="z:shell", coats="a b c", stacks=stacks), source("Q", "photo", "1969", "c")))
    assert set(found) == {"b", "c"}  # b under c holds whichever of a and b came first; a under b does not
    assert bounds(dated(van(zones="z:shell", coats="a b c", stacks=stacks), source("Q", "photo", "1969", "b"))).keys() == {
        "b"
    }


def railed(seat):
    """A cap that came with b, on a seat; a and d on the shell. `seat`: what was seen there, down to metal."""
    record = van(
        parts="shell!, cap@b",
        zones="z:shell, seat:shell, top:cap",
        covers="seat<cap",
        coats="a b d",
        stacks={"S1": "z a d", "S2": "top* b", "S3": f"seat* {seat}"},
    )
    return dated(record, source("Q1", "photo", "1969", "d"), source("Q2", "document", "1971", "cap b"))


def test_a_coat_that_left_a_hidden_face_clean_is_no_earlier_than_the_part_that_hid_it():
    """Seat under the cap: a is there, d is not, so the cap was likely on at d: its paper is a witness, no bound."""
    record = railed("a d:none")
    assert read_dates(record).conflicts == ()
    dates = read_dates(record, read_history(record))
    (conflict,) = dates.conflicts
    assert (conflict.not_before, conflict.there_by) == ("Q2", "Q1")
    assert [(way.coats, way.sure) for way in conflict.ways] == [(("d",), False)]
    assert "S3" in conflict.ways[0].because[0]
    assert dates.bounds["d"].not_before is None


def test_a_coat_that_reached_the_face_under_a_part_says_nothing_of_when_the_part_came():
    record = railed("a d")
    assert read_dates(record, read_history(record)).conflicts == ()


# --- properties --------------------------------------------------------------------------------------------------------

COATS = "abcde"
KINDS = ["photo", "document", "sample", "statement"]


@st.composite
def dated_vans(draw):
    pairs = st.tuples(st.sampled_from(COATS), st.sampled_from(COATS)).filter(lambda pair: pair[0] < pair[1])
    stacks = {f"S{n}": f"z {a} {b}" for n, (a, b) in enumerate(draw(st.lists(pairs, max_size=6, unique=True)), 1)}
    on_cap = draw(st.lists(st.sampled_from(COATS), min_size=1, unique=True).map(sorted))
    stacks["C1"] = "top* " + " ".join(on_cap)
    record = van(parts=f"shell!, cap@{on_cap[0]}", zones="z:shell, top:cap", coats=" ".join(COATS), stacks=stacks)
    about = st.lists(st.sampled_from([*COATS, "cap"]), max_size=3, unique=True).map(" ".join)
    years = st.integers(1960, 1975).map(str)
    sources = [
        source(f"Q{n}", draw(st.sampled_from(KINDS)), draw(years), draw(about)) for n in range(draw(st.integers(0, 5)))
    ]
    return dated(record, *sources)


def twin(record):
    """Years from below and above, and conflicting pairs, by closing the order and trying every pair of sayings."""
    edges = {
        pair
        for layers in record.layers_of.values()
        for pair in zip([one.coat_id for one in layers], [one.coat_id for one in layers][1:], strict=False)
    }
    graph = nx.DiGraph(list(edges))
    graph.add_nodes_from(COATS)
    under = {coat: nx.ancestors(graph, coat) | {coat} for coat in COATS}
    on_cap = {layer.coat_id for layer in record.layers_of["C1"]}
    papers = [one for one in record.sources if one.kind == "document" and "cap" in one.about and on_cap & set(one.about)]
    came = min((one.date for one in papers), default=None)
    lower, upper = [], []
    for one in record.sources:
        for coat in set(one.about) & set(COATS):
            if one in papers and one.date == came and coat in on_cap:
                lower.append((coat, one.date, one.source_id))
            elif one.kind != "statement":
                upper.append((coat, one.date, one.source_id))
    found = {}
    for coat in COATS:
        least = max((year for low, year, _ in lower if low in under[coat]), default=None)
        most = min((year for high, year, _ in upper if coat in under[high]), default=None)
        if least or most:
            found[coat] = (least and f"{least}-01-01", most and f"{most}-12-31")
    pairs = {(a, b) for low, y1, a in lower for high, y2, b in upper if low in under[high] and y1 > y2}
    return found, pairs


def days(dates):
    return {
        coat: (found.not_before and found.not_before.day, found.there_by and found.there_by.day)
        for coat, found in dates.bounds.items()
    }


@given(dated_vans())
def test_bounds_and_conflicts_are_those_of_trying_everything(record):
    dates = read_dates(record)
    found, pairs = twin(record)
    assert days(dates) == found
    assert {(one.not_before, one.there_by) for one in dates.conflicts} == pairs


@given(dated_vans(), st.randoms(use_true_random=False))
def test_the_order_of_rows_changes_nothing(record, shuffler: random.Random):
    def shuffled(entries):
        rows = list(entries)
        shuffler.shuffle(rows)
        return tuple(rows)

    kinds = ("parts", "zones", "coats", "stacks", "layers", "sources")
    other = replace(record, **{kind: shuffled(getattr(record, kind)) for kind in kinds})
    assert read_dates(other) == read_dates(record)


@given(dated_vans(), st.sampled_from(COATS))
def test_a_source_that_agrees_never_makes_a_conflict(record, coat):
    """A photograph in the last year of all bounds no coat more nearly than is possible already."""
    late = source("Q9", "photo", "1976", coat)
    before, after = read_dates(record), read_dates(replace(record, sources=(*record.sources, late)))
    assert after.conflicts == before.conflicts
    assert all(after.bounds[one].not_before == found.not_before for one, found in before.bounds.items())


# --- the demo vehicle (its own invented story; no outside source) ------------------------------------------------------


@pytest.fixture(scope="module")
def demo_van():
    return read_folder(VEHICLE_FOLDER).record


def test_the_caption_in_its_blue_cannot_hold_beside_the_invoice_of_the_cap(demo_van):
    found = history_json(demo_van)["dates"]  # the chip read the wrong way round stands: a circle, and no explanation
    (conflict,) = found["conflicts"]
    assert (conflict["not_before"], conflict["there_by"]) == ("Q3", "Q2")
    assert conflict["ways"][0]["coats"] == ["c7b", "c7"]
    assert "S47" in conflict["ways"][0]["because"][1]
    blue = found["bounds"]["c7"]
    assert (blue["not_before"]["day"], blue["not_before"]["against"]) == ("1971-03-18", ["Q2"])


def test_the_clean_rail_speaks_against_the_caption_as_well(demo_van):
    found = history_json(set_aside(demo_van, ["S12"]))["dates"]
    (conflict,) = found["conflicts"]
    rail = next(way for way in conflict["ways"] if way["coats"] == ["c7"])
    assert not rail["sure"]
    assert "S04" in rail["because"][0]
    assert {one["source"] for one in found["no_bound"]} >= {"Q1", "Q9"}
