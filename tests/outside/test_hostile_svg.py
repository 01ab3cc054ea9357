"""Hostile SVG files: refused with the reason, and before they cost anything.

The attacks are public ones: exponential and quadratic entity expansion and external entities (CWE-776, CWE-611), and those
SVG adds of its own: references that go round or multiply, scripts and event handlers (SVG 1.1 chapters 5, 18). Limits on
sizes are our own figures.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from bodymap.errors import BodymapError
from bodymap.exchange.svg_outline import read_svg
from bodymap.settings import in_force

ROOT = Path(__file__).parents[2]
SVG = '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
LINE = '<path d="M0 0L1 1"/>'
USE_P, HUGE, TURNED = '<use href="#p"/>', '<circle r="1e6"/>', f'<g transform="{"rotate(1) " * 190}">'
# each entity ten of the one before: a billion at the ninth
LAUGHS = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 10))


def use_bomb(levels: int, each: int) -> str:
    groups = "".join(f'<g id="u{n}">' + f'<use xlink:href="#u{n - 1}"/>' * each + "</g>" for n in range(1, levels))
    return f'{SVG}><defs><path id="u0" d="M0 0L1 1"/>{groups}</defs><use href="#u{levels - 1}"/></svg>'


HOSTILE = {
    "billion laughs": (f'<!DOCTYPE svg [<!ENTITY l0 "l">{LAUGHS}]>{SVG}><text>&l9;</text></svg>', "entities"),
    "quadratic entity": (
        f'<!DOCTYPE svg [<!ENTITY a "{"a" * 50_000}">]>{SVG}><text>{"&a;" * 20_000}</text></svg>',
        "entities",
    ),
    "external entity": (f'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>{SVG}><text>&x;</text></svg>', "entities"),
    "external subset with content": (f'<!DOCTYPE svg SYSTEM "a.dtd" [<!ELEMENT g ANY>]>{SVG}>{LINE}</svg>', "document type"),
    "parameter entity": (f'<!DOCTYPE svg [<!ENTITY % p SYSTEM "x">%p;]>{SVG}>{LINE}</svg>', "entities"),
    "3000 groups": (f"{SVG}>{'<g>' * 3000}{LINE}{'</g>' * 3000}</svg>", "nested more than"),
    "a million groups": (f"{SVG}>{'<g>' * 1_000_000}", "nested more than"),
    "use of itself": (f'{SVG}><g id="a"><use href="#a"/></g></svg>', "goes round"),
    "uses that go round": (f'{SVG}><g id="a"><use href="#b"/></g><g id="b"><use xlink:href="#a"/></g></svg>', "goes round"),
    "use bomb": (use_bomb(8, 10), "references that draw more than"),
    "use bomb, deep": (use_bomb(64, 2), "references"),
    "a long path many times": (
        f'{SVG}><defs><path id="p" d="M0 0{"L1 1" * 50_000}"/></defs>{USE_P * 2000}</svg>',
        "characters of paths",
    ),
    "megabyte path": (f'{SVG}><path d="M0 0{" L1 1 2 2" * 150_000}"/></svg>', "a path of"),
    "megabyte of points": (f'{SVG}><polygon points="{"1,1 2,2 " * 150_000}"/></svg>', "a path of"),
    "arcs": (f'{SVG}><path d="M0 0{"a9 9 0 10 1 1" * 15_000}"/></svg>', "characters of arcs"),
    "huge circles": (f"{SVG}>{HUGE * 3000}</svg>", "points along its curves"),
    "thirty thousand elements": (f"{SVG}>{LINE * 30_000}</svg>", "elements"),
    "transforms in transforms": (f"{SVG}>{TURNED * 70}{LINE * 2000}{'</g>' * 70}</svg>", "transforms"),
    "megabyte transform": (f'{SVG}><g transform="{"rotate(1) " * 150_000}">{LINE}</g></svg>', "transform of"),
    "ten megabytes": (f"{SVG}><!--{'x' * 10_000_000}-->{LINE}</svg>", "bytes"),
    "style without end": (f"{SVG}><style>{'a' * 1_000_000}</style>{LINE}</svg>", "style sheets"),
    "script": (f"{SVG}><script>alert(1)</script>{LINE}</svg>", "a script"),
    "script inside a text": (f"{SVG}><text><script/></text>{LINE}</svg>", "a script"),
    "event handler": (f'{SVG} onload="x()">{LINE}</svg>', "event handler"),
    "event handler on what is left out": (f'{SVG}><image onerror="x()"/>{LINE}</svg>', "event handler"),
    "script in a link": (f'{SVG}><a xlink:href=" JavaScript:x()">{LINE}</a></svg>', "script in a link"),
    "numbers without end": (f'{SVG}><path d="M0 0L1e999 1"/></svg>', "positions"),
    "far away": (f'{SVG}><path transform="scale(1e30)" d="M0 0L1e30 1"/></svg>', "positions"),
    "not XML": ("<svg", "no XML"),
    "another XML": ("<html><body/></html>", "<html>"),
    "compressed": ("\x1f\x8b\x08", "compressed"),
    "nothing": ("", "no XML"),
    "no shape": (f"{SVG}><text>Hello</text></svg>", "no path"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_it_is_refused_with_what_was_found_and_what_is_allowed(name):
    text, words = HOSTILE[name]
    with pytest.raises(BodymapError) as caught:
        read_svg(text.encode("latin-1"), in_force())
    told = str(caught.value)
    assert words in told
    assert "allowed: " in told
    assert len(told) < 400
    assert "root:" not in told  # the first word of the file an external entity would bring in


# Sets a limit of two seconds of work on each file, after everything is loaded; the system ends a child that takes more.
CHILD = """
import math, resource, sys, time
sys.path.insert(0, {root!r})
from bodymap.errors import BodymapError
from bodymap.exchange.svg_outline import read_svg
from bodymap.settings import in_force
from tests.outside.test_hostile_svg import HOSTILE
settings = in_force()
for name, (text, _) in HOSTILE.items():
    data = text.encode("latin-1")
    print(name, flush=True)
    resource.setrlimit(resource.RLIMIT_CPU, (math.ceil(time.process_time()) + 2, -1))
    try:
        read_svg(data, settings)
    except BodymapError:
        pass
print("all", flush=True)
"""


@pytest.mark.skipif(os.name != "posix", reason="limits on work are set the POSIX way")
def test_each_is_refused_within_two_seconds_of_work():
    run = subprocess.run(
        [sys.executable, "-c", CHILD.format(root=str(ROOT))], capture_output=True, text=True, check=False, cwd=ROOT
    )
    assert run.stdout.splitlines()[-1:] == ["all"], f"stopped at: {run.stdout.splitlines()[-1:]} {run.stderr[-400:]}"


@pytest.mark.parametrize(
    "doctype",
    [
        '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">',
        '<!DOCTYPE svg SYSTEM "svg11.dtd">',
    ],
)
def test_the_document_type_of_drawing_programs_is_let_in_and_not_read(doctype):
    outline = read_svg(f'<?xml version="1.0"?>\n{doctype}\n{SVG}>{LINE}</svg>'.encode(), in_force())
    assert len(outline.shapes) == 1
