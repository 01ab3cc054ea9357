"""The commands that say what a record comes to: areas, history, film, plan, release, prints."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import TYPE_CHECKING

from bodymap.cli.common import LOOK, OK, load, media_bytes, now, print_json, require_pdf, tell, write_print
from bodymap.cli.stopping import progress
from bodymap.errors import BodymapError
from bodymap.model import Area
from bodymap.progress import stretch
from bodymap.units import mm2_to_m2

if TYPE_CHECKING:
    from bodymap.film.stories import FilmStories
    from bodymap.history.read import History
    from bodymap.model import Record


def areas_command(arguments: argparse.Namespace) -> int:
    """Areas drawn and true, kept areas and margins."""
    from bodymap.exchange.oddities import oddities
    from bodymap.geometry.areas import areas_of

    record, _ = load(arguments.record)
    report = areas_of(record).as_json()
    tell([note for note in oddities(record) if note.startswith(("zones.geojson", "areas.geojson"))])
    if arguments.json:
        print_json(report)
        return OK
    print(f"{'':32}{'drawn m²':>10}{'true m²':>10}{'kept, true':>11}{'kept':>7}{'margin, drawn':>15}")
    margins = {
        part: sum(report["zones"][zone.zone_id]["margin_drawn_mm2"] for zone in zones)
        for part, zones in record.zones_of_part.items()
    }
    rows = [(record.part[part].name, areas, margins[part]) for part, areas in report["by_part"].items()]
    for name, areas, margin_mm2 in [*rows, ("Whole vehicle", report["totals"], sum(margins.values()))]:
        share = areas["kept_surface_mm2"] / areas["surface_mm2"] if areas["surface_mm2"] else 0.0
        print(
            f"{name[:31]:32}{mm2_to_m2(areas['drawn_mm2']):10.4f}{mm2_to_m2(areas['surface_mm2']):10.4f}"
            f"{mm2_to_m2(areas['kept_surface_mm2']):11.4f}{share:7.1%}{mm2_to_m2(margin_mm2):15.4f}"
        )
    estimates = sum(1 for zone in report["zones"].values() if zone["estimate"])
    if estimates:
        print(f"{estimates} zones are on a schematic drawing: their areas are estimates")
    return OK


def ratio_command(arguments: argparse.Namespace) -> int:
    """Surface ratio of a crowned panel, from tape girths or from chord and rise."""
    from bodymap.geometry.ratio import chord_and_rise_error, ratio_error, ratio_from_chord_and_rise, ratio_from_girths
    from bodymap.settings import in_force

    settings = in_force()
    girths = [arguments.length_mm, arguments.girth_mm, arguments.width_mm, arguments.width_girth_mm]
    arcs = [arguments.chord_mm, arguments.rise_mm, arguments.across_chord_mm, arguments.across_rise_mm]
    if None not in girths[:2] and not any(arcs):
        ratio = ratio_from_girths(girths[0], girths[1], girths[2], girths[3], settings)
        error = ratio_error(girths[0], girths[1], settings, girths[2], girths[3])
    elif None not in arcs[:2] and not any(girths):
        ratio = ratio_from_chord_and_rise(*arcs)
        error = chord_and_rise_error(arcs[0], arcs[1], settings, arcs[2], arcs[3])
    else:
        raise BodymapError(
            "ratio: found neither or both; allowed: --length-mm with --girth-mm, or --chord-mm with --rise-mm"
        )
    print(f"surface ratio {ratio:.4f}, good to ±{error:.4f} (tape measure of class II)")
    return OK


def history_command(arguments: argparse.Namespace) -> int:
    """What the stacks say of the order of coats and of what was fitted, off or taped."""
    from bodymap.film.stories import film_stories
    from bodymap.history.read import read_history
    from bodymap.history.report import history_json
    from bodymap.history.set_aside import set_aside
    from bodymap.history.text import history_lines
    from bodymap.settings import in_force

    found, _ = load(arguments.record)
    aside = tuple(dict.fromkeys(arguments.set_aside))
    record = set_aside(found, aside)
    history = read_history(record)
    stories = film_stories(record, in_force(record.settings), history)
    if arguments.json:
        print_json(history_json(record, history) | stories.as_json() | ({"set_aside": list(aside)} if aside else {}))
    else:
        print("\n".join([*history_lines(record, history, aside), *_witness_lines(record, history, stories)]))
    # what was set aside is still in the record
    return LOOK if history.contradicted or (aside and read_history(found).contradicted) else OK


def _witness_lines(record: Record, history: History, stories: FilmStories) -> Iterator[str]:
    from bodymap.views.coat_order import date_lines, question_lines
    from bodymap.views.film_witness import film_witness

    witness = film_witness(record, stories)
    for title, lines in (
        ("Dates", date_lines(record, history)),
        ("One coat, or two?", question_lines(record, history)),
        ("Film speaks", witness.speaks),
        ("Film bears out that a coat was laid once", witness.once),
    ):
        if lines:
            yield from ("", f"{title}:", *(f"  - {line}" for line in lines))
    if witness.cannot:
        yield from ("", f"The film cannot separate {len(witness.cannot)} other stories.")


def film_command(arguments: argparse.Namespace) -> int:
    """Film by zone."""
    from bodymap.film.report import Specification, film_report
    from bodymap.film.words import film_lines
    from bodymap.settings import in_force

    asked = Specification(arguments.nominal_um, arguments.min_um, arguments.max_um)
    record, _ = load(arguments.record)
    with progress() as step:
        report = film_report(record, in_force(record.settings), asked, arguments.phase, step)
    if arguments.json:
        print_json(report.as_json())
    else:
        print("\n".join(film_lines(record, report)))
    return LOOK if report.to_look_at else OK


def tint_command(arguments: argparse.Namespace) -> int:
    """What a step card says."""
    from bodymap.exchange.step_card import parse_step_card
    from bodymap.finish.tint_report import tint_report
    from bodymap.settings import in_force

    name = arguments.card.name
    card = parse_step_card(name, arguments.card.read_bytes())
    asked = {key: getattr(arguments, key) for key in ("at_um", "delta_e", "pass_um", "reading_um")}
    report = tint_report(card.steps, in_force(), name=name, **asked)
    tell((*card.notes, *report.notes))
    if arguments.json:
        print_json(report.as_json())
    else:
        print("\n".join(report.lines()))
    return OK


def replay_command(arguments: argparse.Namespace) -> int:
    """Run the repaint plan."""
    from bodymap.exchange.plan_file import read_plan
    from bodymap.finish.plan_draft import draft_json, draft_lines, draft_plan
    from bodymap.finish.replay import replay
    from bodymap.finish.replay_report import replay_json, replay_lines
    from bodymap.finish.tint_plan import tint_warnings
    from bodymap.settings import in_force

    record, _ = load(arguments.record)
    settings = in_force(record.settings)
    draft = draft_plan(record, settings) if arguments.draft else None
    steps, notes = read_plan(arguments.plan, record) if arguments.plan else (record.steps, ())
    tell(notes)
    result = draft.result if draft else replay(record, settings, steps)
    if draft:  # the masks it proposes are not in the record yet
        record = record.with_kind(Area.KIND, (*record.areas, *draft.areas))
    elif not steps:
        tell(["no step is planned: what is told below is the vehicle as it was found"])
    tinted = tint_warnings(record, settings, draft.steps if draft else steps)
    if arguments.json:
        print_json(
            replay_json(result)
            | {"tint_warnings": [warning.words for warning in tinted]}
            | (draft_json(draft) if draft else {})
        )
    else:
        print(
            "\n".join(
                [
                    *(draft_lines(draft) if draft else ()),
                    *replay_lines(record, result),
                    *(warning.words for warning in tinted),
                ]
            )
        )
    return OK if result.clean else LOOK


def release_command(arguments: argparse.Namespace) -> int:
    """What stands against stripping each zone."""
    from bodymap.release.checks import release_of
    from bodymap.release.report import release_json, release_lines
    from bodymap.settings import in_force

    record, _ = load(arguments.record)
    releases = release_of(record, in_force(record.settings))
    if arguments.json:
        print_json(release_json(releases))
    else:
        print("\n".join(release_lines(record, releases)))
    return LOOK if any(one.asked and not one.release for one in releases.values()) else OK


def brief_command(arguments: argparse.Namespace) -> int:
    """Print the painter's mask brief."""
    from bodymap.briefs.mask_brief import mask_brief_pdf, unprintable
    from bodymap.settings import in_force
    from bodymap.views.brief import brief_view

    require_pdf(arguments.out)
    record, head = load(arguments.record)
    with progress() as step:
        view = brief_view(record, in_force(record.settings), step=stretch(step, 0.0, 0.4))
        photos = media_bytes(arguments.record, view.photo_files)
        made = mask_brief_pdf(view, head if head.count else None, now(), photos, stretch(step, 0.4, 1.0))
    write_print(arguments.out, made)
    tell([f"the print has no sign for {char}; the sheet says so" for char in unprintable(view)])
    print(f"{arguments.out}: mask brief, {len(record.areas)} areas")
    return OK
