"""Every working figure, with its unit, its basis and its source. Nothing numeric is buried elsewhere.

A record may hold its own value of a figure (`settings.csv`), with a basis of its own; the rest stand as here.
`common practice` means a usual figure of the trade without a published source: a starting point to be confirmed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Literal, Protocol

from bodymap.errors import Fault, Faults

Basis = Literal["standard", "data sheet", "common practice", "own trial"]
BASES: tuple[Basis, ...] = ("standard", "data sheet", "common practice", "own trial")


@dataclass(frozen=True)
class Figure:
    """One working figure: its value in `unit`, the range in which it makes sense, and where it comes from."""

    key: str
    value: float
    unit: str
    basis: Basis
    source: str
    meaning: str
    low: float = 0.0
    high: float = float("inf")
    whole: bool = False


class Override(Protocol):
    """What a record says of one figure (a row of `settings.csv`)."""

    @property
    def key(self) -> str: ...  # noqa: D102
    @property
    def value(self) -> str: ...  # noqa: D102
    @property
    def basis(self) -> Basis: ...  # noqa: D102
    @property
    def source(self) -> str | None: ...  # noqa: D102


_PRACTICE = "no source"
_OWN = "no source; the value this program works with"

# A table: one figure a paragraph.
# fmt: off
_FIGURES = (
    # Drawings
    Figure("curve_chord_error_mm", 0.05, "mm", "common practice",
           "a tenth of the tolerance of a hard taped edge, no source",
           "how far a straight step may stand off a curve that is taken into a drawing", 0.001, 5),
    Figure("tidy_least_mm2", 1, "mm²", "common practice", _OWN,
           "least gap or overlap of zones that is shown", 0, 10_000),
    Figure("tidy_gap_mm", 12, "mm", "common practice", "shut gaps of old bodies are 3–10 mm, no source",
           "widest gap between zones that counts as one: what is wider is open surface", 0.1, 500),
    Figure("hidden_space_mm", 60, "mm", "common practice", _OWN,
           "free space left round a hidden face that is laid on its drawing", 1, 1000),
    Figure("pick_error_mm", 1, "mm", "common practice", "a point touched on a photo, at the size of the vehicle; no source",
           "greatest error of a point that is set by hand for calibration", 0.01, 100),
    # Masking
    Figure("corner_deg", 30, "°", "common practice", _OWN,
           "a boundary that turns by more than this within corner_window_mm has a corner there", 5, 90),
    Figure("corner_window_mm", 12, "mm", "common practice", _OWN,
           "how far along the boundary a turn may be spread", 1, 100),
    Figure("station_mm", 100, "mm", "common practice", "rule offsets each 100–200 mm, no source",
           "spacing of offset stations along a boundary piece", 5, 1000),
    Figure("station_rise_mm", 2, "mm", "common practice", _OWN,
           "how far a boundary may bulge between two offset stations", 0.1, 50),
    Figure("stations_least", 3, "count", "common practice", "three offsets at least, more on curves, no source",
           "fewest offset stations on a boundary piece", 2, 50, whole=True),
    Figure("datum_reach_mm", 300, "mm", "common practice", _OWN,
           "how far from a boundary a datum that runs along all of it is preferred to a nearer one that does not", 0, 5000),
    Figure("edge_on_line_mm", 1, "mm", "common practice", _OWN,
           "how near the edge of a mask lies to a drawn line to count as lying along it", 0, 20),
    Figure("tape_lap_pct", 10, "%", "common practice", _PRACTICE,
           "tape lap and waste added to the length", 0, 100),
    Figure("mask_film_lap_pct", 20, "%", "common practice", "15–25 %, no source",
           "lap and waste added to the area of masking film", 0, 200),
    Figure("soft_edge_mist_mm", 10, "mm", "common practice", _OWN,
           "width of mist inside a soft mask edge", 0, 100),
    Figure("tape_1_5_least_radius_mm", 20, "mm", "common practice", _OWN,
           "least radius a 1.5 mm fine-line tape follows", 1, 1000),
    Figure("tape_3_least_radius_mm", 50, "mm", "common practice", _OWN,
           "least radius a 3 mm fine-line tape follows", 1, 2000),
    Figure("tape_6_least_radius_mm", 150, "mm", "common practice", _OWN,
           "least radius a 6 mm fine-line tape follows", 1, 5000),
    Figure("edge_hard_tolerance_mm", 0.5, "mm", "common practice", _PRACTICE,
           "tolerance of a hard taped edge", 0.05, 10),
    Figure("edge_soft_tolerance_mm", 3, "mm", "common practice", _PRACTICE,
           "tolerance of the centre of a soft edge", 0.1, 50),
    Figure("edge_part_tolerance_mm", 1, "mm", "common practice", _PRACTICE,
           "tolerance of a wrap round a part edge", 0.05, 10),
    Figure("edge_body_line_tolerance_mm", 0.5, "mm", "common practice", _PRACTICE,
           "tolerance of an edge on a body line", 0.05, 10),
    Figure("edge_seal_tolerance_mm", 1, "mm", "common practice", _PRACTICE,
           "tolerance of an edge under a left-in seal", 0.05, 10),
    # Full-size templates
    Figure("template_overlap_mm", 10, "mm", "common practice", _OWN,
           "how far neighbouring sheets of a full-size template overlap", 0, 60),
    Figure("template_margin_mm", 8, "mm", "common practice", "most printers leave 3–6 mm at the edge white, no source",
           "edge of the paper that a full-size template leaves free", 3, 40),
    Figure("template_cross_mm", 8, "mm", "common practice", _OWN,
           "size of the crosses at the corners of a sheet", 2, 30),
    Figure("template_least_pct", 90, "%", "common practice", _OWN,
           "a 100 mm bar measured shorter than this share was scaled by the print dialogue, which no factor mends", 50, 100),
    Figure("template_most_pct", 110, "%", "common practice", _OWN,
           "a 100 mm bar measured longer than this share was scaled by the print dialogue, which no factor mends", 100, 200),
    # Painted lines
    Figure("line_station_mm", 25, "mm", "common practice", _OWN,
           "spacing of the stations at which drift and wobble of a painted line are reckoned", 1, 500),
    Figure("line_differs_mm", 2, "mm", "common practice", _OWN,
           "difference of a painted line, left against right, that is remarked on", 0.1, 100),
    # Stripping
    Figure("margin_blast_mm", 100, "mm", "common practice", "no blast within 100 mm of a kept area, no source",
           "nearest that blasting comes to a kept area", 0, 2000),
    Figure("margin_soft_media_mm", 50, "mm", "common practice", _PRACTICE,
           "nearest that blasting with soft media comes to a kept area", 0, 2000),
    Figure("margin_chemical_mm", 50, "mm", "common practice",
           "25–50 mm dry band under two layers of foil, seams sealed; the safe end, no source",
           "nearest that paint stripper comes to a kept area", 0, 2000),
    Figure("last_band_mm", 10, "mm", "common practice", "the last 5–10 mm by blade or P240–320 by hand, no source",
           "band along a kept area that is worked by blade or fine abrasive only", 0, 200),
    Figure("foil_layers", 2, "count", "common practice", "two layers of foil, seams sealed, no source",
           "layers of foil over a kept area and its band while stripper is near", 1, 10, whole=True),
    # Film
    Figure("gauge_u_abs_um", 2.5, "µm", "standard", "ASTM E376-11 note 2: ±10 % or ±2.5 µm, whichever is greater",
           "least uncertainty of one film reading", 0, 100),
    Figure("gauge_u_rel_pct", 10, "%", "standard", "ASTM E376-11 note 2: ±10 % or ±2.5 µm, whichever is greater",
           "relative uncertainty of one film reading", 0, 100),
    Figure("probe_edge_mm", 25, "mm", "common practice", "20–25 mm, or prove on the bare part, no source",
           "least distance of a gauge probe from an edge", 0, 200),
    Figure("gauge_drift_um", 0, "µm", "own trial",
           "readings of the same foils before and after the round; 0: no drift was found or none was looked for",
           "drift of the gauge over a round of readings, added to its uncertainty", 0, 500),
    Figure("gauge_repeat_um", 1.5, "µm", "common practice", "±(1–2 µm + 1–3 %), no source; the fixed part",
           "scatter of a gauge set down again on the same spot", 0.01, 100),
    Figure("section_u_abs_um", 1, "µm", "standard",
           "ISO 1463 and ASTM B487: 10 % or 1 µm, whichever is greater; from memory, not seen",
           "least uncertainty of one layer measured in a section", 0, 100),
    Figure("section_u_rel_pct", 10, "%", "standard",
           "ISO 1463 and ASTM B487: 10 % or 1 µm, whichever is greater; from memory, not seen",
           "relative uncertainty of one layer measured in a section", 0, 100),
    Figure("gauge_least_um", 0, "µm", "data sheet", "that of the gauge used",
           "least film the gauge can read", 0, 1000),
    Figure("gauge_most_um", 2000, "µm", "data sheet", "that of the gauge used; 2000 µm is usual, no source",
           "greatest film the gauge can read", 10, 100_000),
    Figure("curved_ratio", 1.05, "ratio", "common practice", _OWN,
           "surface ratio from which a zone counts as curved, so that the gauge is zeroed on bare metal of the same curve",
           1, 10),
    Figure("mist_most_um", 5, "µm", "common practice", "mist 1–5 µm, no source",
           "greatest film of a coat seen as mist", 0, 50),
    Figure("spots_shop_least", 5, "count", "common practice", "5–9 to a panel, no source",
           "fewest spots on a zone", 1, 500, whole=True),
    Figure("spots_shop_most", 9, "count", "common practice", "5–9 to a panel, no source",
           "most spots on a zone by the shop's figure", 1, 500, whole=True),
    Figure("spots_shop_m2", 0.2, "m²", "common practice", _OWN,
           "true surface for one spot by the shop's figure", 0.001, 100),
    Figure("spot_repeats", 3, "count", "common practice", "3 repeats averaged, no source",
           "readings at one spot", 1, 50, whole=True),
    Figure("spot_merge_mm", 1, "mm", "common practice", _OWN,
           "readings nearer to one another than this count as one place in a surface", 0, 100),
    Figure("surface_spots_least", 15, "count", "own trial",
           "made-up fields with a hump: below 15–20 spots a surface was hardly better than the mean",
           "fewest places read on a panel before a film surface is drawn", 4, 10_000, whole=True),
    Figure("surface_gain_pct", 10, "%", "own trial",
           "readings of pure scatter: 1 panel in 12 of 16 places, 1 in 25 of 30 places, was given a surface",
           "how much better than the mean a film surface must meet readings left out, to be drawn", 0, 90),
    Figure("surface_grid_mm", 10, "mm", "own trial", "contour areas within 0.2 % at 10 mm",
           "mesh of a film surface", 0.5, 1000),
    Figure("filler_suspect_um", 400, "µm", "common practice",
           "above 300–500 µm on metal commonly taken as filler: a rule of thumb, no source",
           "film above which filler is suspected", 50, 10_000),
    Figure("filler_most_mm", 3, "mm", "common practice", "advised ≤ 3 mm finished, no source",
           "deepest filler advised", 0.1, 50),
    Figure("filler_shrink_pct", 5, "%", "common practice", "shrink margin 3–5 %, no source",
           "shrink margin of filler", 0, 50),
    Figure("filler_mix_factor", 1.6, "ratio", "common practice", _OWN,
           "filler mixed for what stays in place: sanded off and left on the board, shrink margin included", 1, 10),
    Figure("mirror_overlap_pct", 60, "%", "common practice", _OWN,
           "how much of two zones must coincide, one of them mirrored, to be the left and right of each other", 1, 100),
    Figure("spot_apart_mm", 100, "mm", "common practice", _OWN,
           "no more spots are asked of a small zone before a strip than squares of this side have room in it", 10, 2000),
    # Tinted coats
    Figure("tint_delta_e", 1, "ΔE00", "common practice",
           "unsourced working value: about 1 is just seen on panels side by side; no published figure for refinish work in "
           "CIEDE2000 was found",
           "colour difference a tinted coat may be off by", 0.1, 20),
    Figure("card_noise_8bit", 2, "of 255", "common practice", _OWN,
           "how far a channel of a step card's reading may be out; a rise beyond it is remarked on", 0, 50),
    # Paint
    Figure("transfer_air_pct", 25, "%", "standard",
           "40 CFR 60 subpart EE (metal furniture) as in Wis. Admin. Code NR 440.48 table 1; shops say 30–45 %, no source",
           "share of the paint's solids that stays on the metal: air-atomised gun", 1, 100),
    Figure("transfer_low_pressure_pct", 65, "%", "standard",
           "Utah R307-343-5 counts high-volume low-pressure guns as 65 % or more",
           "share of the paint's solids that stays on the metal: low-pressure gun", 1, 100),
    Figure("transfer_airless_pct", 25, "%", "standard",
           "40 CFR 60 subpart EE (metal furniture) as in Wis. Admin. Code NR 440.48 table 1",
           "share of the paint's solids that stays on the metal: airless gun", 1, 100),
    Figure("transfer_air_assisted_pct", 40, "%", "standard",
           "40 CFR 60 subpart TTT (plastic parts of business machines) as in Tenn. 1200-03-16-.57 table 1",
           "share of the paint's solids that stays on the metal: air-assisted airless gun", 1, 100),
    Figure("transfer_electrostatic_pct", 60, "%", "standard",
           "40 CFR 60 subpart EE (metal furniture) as in Wis. Admin. Code NR 440.48 table 1",
           "share of the paint's solids that stays on the metal: manual electrostatic gun", 1, 100),
    Figure("transfer_hand_pct", 100, "%", "common practice",
           "no source; nothing is sprayed past the metal, what stays in brush and pot is not counted",
           "share of the paint's solids that stays on the metal: brush, roller or knife", 1, 100),
    Figure("filler_waste_pct", 60, "%", "common practice", _PRACTICE,
           "filler mixed and rubbed off again, added to the volume in place", 0, 500),
    Figure("dew_margin_c", 3, "°C", "common practice",
           "3 °C is the usual rule, IMO MSC.215(82) table 1 has it for ballast tanks (from memory, not seen); the paint's "
           "data sheet comes first",
           "least distance of the surface above the dew point while a coat goes on", 0, 20),
    # Measuring
    Figure("tape_measure_a_mm", 0.3, "mm", "standard", "Directive 2014/32/EU annex X, class II: 0.3 + 0.2 L",
           "constant part of a tape measure's greatest error", 0, 10),
    Figure("tape_measure_b_mm_per_m", 0.2, "mm/m", "standard", "Directive 2014/32/EU annex X, class II: 0.3 + 0.2 L",
           "part of a tape measure's greatest error that grows with each begun metre", 0, 10),
)
# fmt: on

DEFAULTS: Mapping[str, Figure] = {figure.key: figure for figure in _FIGURES}


@dataclass(frozen=True)
class Settings:
    """The figures in force for one record: its own where it has them, else the defaults."""

    figures: Mapping[str, Figure]

    def value(self, key: str) -> float:
        """Value of the figure `key` in its unit. Raises KeyError on a key that is no figure."""
        return self.figures[key].value


def in_force(overrides: Iterable[Override] = ()) -> Settings:
    """The defaults with a record's own figures laid over them.

    A key that is no figure of this version is left to stand in the record and has no effect here.

    Raises:
        Faults: a value that is no number or outside the range in which the figure makes sense.
    """
    figures = dict(DEFAULTS)
    faults = []
    for row, override in enumerate(overrides, start=2):
        known = DEFAULTS.get(override.key)
        if known is None:
            continue
        value = _number(override.value)
        if value is None or not known.low <= value <= known.high or (known.whole and value != int(value)):
            kind = "a whole number" if known.whole else "a number"
            faults.append(
                Fault(
                    "settings.csv",
                    row,
                    "value",
                    repr(override.value),
                    f"{kind} from {known.low:g} to {known.high:g} ({known.unit})",
                    override.key,
                )
            )
            continue
        figures[override.key] = Figure(
            known.key,
            value,
            known.unit,
            override.basis,
            override.source or "",
            known.meaning,
            known.low,
            known.high,
            known.whole,
        )
    if faults:
        raise Faults("settings", faults)
    return Settings(figures)


def _number(text: str) -> float | None:
    # float() alone would take 1_000, nan and inf as well
    try:
        number = float(text.replace("_", "?"))
    except ValueError:
        return None
    return number if math.isfinite(number) else None
