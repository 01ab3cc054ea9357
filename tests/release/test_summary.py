"""The release in a terminal: counted by code first, then zone by zone."""

from __future__ import annotations

from bodymap.release.blockers import CODE_WORDS, CODES
from bodymap.release.checks import release_of
from bodymap.release.report import by_code, release_lines
from tests.release.survey import RELEASES, SETTINGS, cart, signed


def test_every_code_has_words():
    assert tuple(CODE_WORDS) == CODES


def test_codes_are_counted_by_zone_the_commonest_first():
    releases = tuple(release_of(cart(without=("hazards tested", "s1", "s1/1")), SETTINGS).values())
    counts = {one.code: one.zones for one in by_code(releases)}
    assert counts["hazards-not-tested"] == ("side", "flange", "tail")
    assert counts["two-signatures"] == ("flange", "tail")
    sizes = [len(one.zones) for one in by_code(releases)]
    assert sizes == sorted(sizes, reverse=True)


def test_the_summary_comes_before_the_zones():
    record = cart(without=("photo", "side4"))
    lines = list(release_lines(record, release_of(record, SETTINGS)))
    head = lines.index("What stands against them, by code (zones):")
    counts = [line.split()[:2] for line in lines[head + 1 : head + 3]]
    assert counts == [["1", "too-few-readings:"], ["1", "no-photo-before:"]]
    assert lines.index("side (side): signed but blocked") > head


def test_nothing_in_the_way_is_no_summary():
    lines = list(release_lines(cart(), release_of(cart(), SETTINGS)))
    assert not any("by code" in line for line in lines)


def test_states_of_a_zone():
    state = {"whole": cart(), "unsigned": cart(without=("release to strip",)), "bad": cart(without=("photo",))}
    states = {name: release_of(record, SETTINGS)["side"].state for name, record in state.items()}
    assert states == {"whole": "released", "unsigned": "ready to sign", "bad": "signed but blocked"}
    neither = release_of(cart(without=("photo", "release to strip")), SETTINGS)["side"]
    assert (neither.state, neither.signed) == ("blocked", False)
    one = cart(RELEASES[0], signed("side", "release to strip", "ann "), without=("release to strip",))
    assert release_of(one, SETTINGS)["side"].state == "ready to sign", "one person with two spellings is one person"
