"""Colours that mean different things, as readers with a colour-vision deficiency see them: apart, or with another sign.

The deficiencies at full strength: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A Physiologically-based Model for
Simulation of Color Vision Deficiency", IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291–1298, its matrices as the library
colour-science holds them. Ten units of CIEDE2000 (ISO/CIE 11664-6) are well beyond what is seen at a glance: common
practice, no source.
"""

from __future__ import annotations

import itertools
import warnings

import numpy as np
import pytest

from bodymap.exchange.open_folder import read_folder
from bodymap.film.report import Specification, film_report
from bodymap.finish.colour import ciede2000, lab_of_linear, linear_of_signal
from bodymap.settings import in_force
from bodymap.views import hand_over_maps, plan_sheet, strip_map
from bodymap.views.film_sheet import FilmChoice, film_sheet
from bodymap.views.palette import DARK, LIGHT, paint_of
from bodymap.views.sheet import SheetChoice, sheet_view
from dashboard.figures.pens import PENS, SYMBOLS
from demo import VEHICLE_FOLDER

with warnings.catch_warnings():  # it warns of optional packages that are not there
    warnings.simplefilter("ignore")
    from colour.blindness import CVD_MATRICES_MACHADO2010 as MATRICES

APART = 10.0
EYES = {
    "full colour": np.eye(3),
    **{name: np.asarray(MATRICES[name][1.0]) for name in ("Protanomaly", "Deuteranomaly", "Tritanomaly")},
}
MARKS = frozenset({"kept", "findings", "readings", "lines", "datums", "stacks"})


def lab_seen(colour, eye):
    signal = np.array([int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)])
    return lab_of_linear(np.clip(EYES[eye] @ linear_of_signal(signal), 0, 1))


def alike(meanings, theme):
    """Pairs of (words, paint, sign) that some eye takes for the same: one sign, and colours less than `APART`."""
    found = []
    for eye in EYES:
        seen = [(words, lab_seen(paint_of(paint, theme), eye), sign) for words, paint, sign in meanings]
        for (one, lab, sign), (other, lab2, sign2) in itertools.combinations(seen, 2):
            far = float(ciede2000(lab, lab2))
            if sign == sign2 and far < APART:
                found.append(f"{eye}: {one} / {other}: {far:.1f}")
    return found


def of_legend(items):
    """The entries of a legend; one told by a style of stroke has the colour of its pen."""
    pens = PENS | {"relief": PENS["relief_dark"]}
    return [(i.words, i.paint or pens[i.style].role, (i.texture, i.style, i.sign)) for i in items]


@pytest.fixture(scope="module")
def van():
    return read_folder(VEHICLE_FOLDER).record


@pytest.fixture(scope="module")
def report(van):
    return film_report(van, in_force(), Specification(nominal_um=120.0, min_um=80.0, max_um=240.0), "as found")


@pytest.mark.parametrize("eye", EYES)
def test_greys_stay_grey(eye):
    # Every row of these matrices adds up to 1; the three cones answer a grey alike.
    for grey in ("#000000", "#6b6b6b", "#ffffff"):
        lightness, a, b = lab_seen(grey, eye)
        assert lightness == pytest.approx(lab_seen(grey, "full colour")[0], abs=0.2)
        assert max(abs(a), abs(b)) < 0.5


def test_red_and_green_of_one_lightness_are_what_the_deficiencies_confuse():
    # The textbook pair: told apart easily by full colour vision and with a tritan deficiency, hard with the other two.
    far = {eye: float(ciede2000(lab_seen("#a05050", eye), lab_seen("#5f7050", eye))) for eye in EYES}
    assert min(far["full colour"], far["Tritanomaly"]) > 2 * max(far["Protanomaly"], far["Deuteranomaly"])


@pytest.mark.parametrize("kind", ["outside", "hidden"])
@pytest.mark.parametrize("tint", ["plain", "coat", "film", "not_seen"])
def test_the_legend_of_a_sheet_tells_its_entries_apart(van, kind, tint):
    coat = van.coats[5].coat_id if tint == "coat" else None
    view = sheet_view(van, SheetChoice(kind, tint, coat, MARKS), in_force())
    assert alike(of_legend(view.legend), "light") == []
    assert alike(of_legend(view.legend), "dark") == []


def test_on_the_sheet_of_finishes_only_true_colours_of_coats_may_look_alike(van):
    # A coat is drawn in its own colour; which it is, is told by touching the zone and on its card.
    view = sheet_view(van, SheetChoice("outside", "finish", None, MARKS), in_force())
    ours = [item for item in view.legend if not item.paint.startswith("#")]
    assert alike(of_legend(ours), "light") == []
    assert alike(of_legend(ours), "dark") == []


@pytest.mark.parametrize("look", ["film", "unexplained", "filler", "iso19840", "sspc_pa2"])
def test_the_film_sheets_tell_their_verdicts_apart(van, report, look):
    view = film_sheet(van, FilmChoice("outside", look, "film"), report, None)
    assert alike(of_legend(view.legend), "light") == []
    assert alike(of_legend(view.legend), "dark") == []


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_maps_of_keeping_and_stripping_tell_their_surfaces_apart(theme):
    intents = [(str(intent), paint, hatch) for intent, (paint, hatch) in strip_map._INTENTS.items()]
    methods = [(str(method), paint, hatch) for method, (paint, hatch) in strip_map._METHODS.items()]
    methods += [("by hand only", "mask", "\\"), ("keep", "kept", "x"), ("left", "texture", "")]
    states = [(words, paint, hatch) for paint, hatch, words in strip_map._STATES.values()]
    for meanings in (intents, methods, states):
        assert alike(meanings, theme) == []


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_the_maps_of_the_hand_over_file_tell_old_from_made_again(theme):
    tints = [(state, tint.paint, tint.texture) for state, tint in hand_over_maps._TINTS.items()]
    assert alike(tints, theme) == []


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_marks_differ_by_colour_dash_or_hatch(palette):
    theme = "light" if palette is LIGHT else "dark"
    styles = ("kept", "margin", "mask", "finding", "datum", "selected")
    drawn = [(style, PENS[style].role, (PENS[style].dash, f"{style}_hatch" in PENS)) for style in styles]
    assert alike(drawn, theme) == []


def test_every_sign_and_every_harm_has_a_shape_of_its_own():
    # A reading and a spot are dots of two sizes with figures or names beside them; what is to be read is hollow, and a datum
    # has its name.
    shapes = [SYMBOLS[name][0] for name in SYMBOLS if name not in ("reading", "spot", "to_read", "datum")]
    assert len(set(shapes)) == len(shapes)
    assert len(set(plan_sheet.HARM_TEXTURES.values())) == len(plan_sheet.HARM_TEXTURES)
