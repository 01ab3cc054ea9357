"""The command that prints a full-size template."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bodymap.cli.common import OK, load, now, tell, write_print
from bodymap.cli.stopping import progress
from bodymap.errors import BodymapError
from bodymap.progress import stretch

if TYPE_CHECKING:
    from bodymap.model import Head, Record
    from bodymap.settings import Settings
    from bodymap.views.line_strip_parts import LineStrip
    from bodymap.views.template import Template

_KINDS = (".pdf", ".svg", ".dxf")


def template_arguments(template: argparse.ArgumentParser) -> None:
    """What the command is asked."""
    ident = "an area_id, zone_id, line_id or drawing_id (zone:ID where two share it)"
    template.add_argument("ident", metavar="ID", help=ident)
    template.add_argument("out", type=Path, metavar="OUT", help="a name ending in .pdf, .svg or .dxf")
    template.add_argument("--paper", choices=("A4", "A3"), default=None, help="of the sheets (default: A4)")
    template.add_argument("--landscape", action="store_true", help="the long side of the sheets level")
    template.add_argument("--plotter", action="store_true", help="one page as large as it takes")
    template.add_argument("--overlap-mm", type=float, default=None, metavar="MM", help="of neighbouring sheets")
    for way, bar in (("x", "level"), ("y", "upright")):
        template.add_argument(
            f"--printed-{way}-mm", type=float, default=None, metavar="MM",
            help=f"what the {bar} 100 mm bar of an uncorrected print measured",
        )  # fmt: skip
    template.add_argument("--mirror", action="store_true", help="turned left to right, for the back of a film; text is not")
    template.add_argument("--datum", default=None, metavar="ID", help="of the strip chart of a line (default: the nearest)")


def template_command(arguments: argparse.Namespace) -> int:
    """Print a full-size template."""
    from bodymap.settings import in_force
    from bodymap.views.template import template_of

    suffix = arguments.out.suffix.lower()
    _refuse_idle(arguments, suffix)
    record, head = load(arguments.record)
    settings = in_force(record.settings)
    template = template_of(record, arguments.ident, settings, mirror=arguments.mirror)
    if suffix == ".pdf":
        said = _pdf(arguments, record, head, template, settings)
    else:
        said = _whole(arguments.out, suffix, head, template)
    for banner in template.banners:
        tell([banner])
    print(f"{arguments.out}: full-size template of {template.ident}, {said}")
    return OK


def _refuse_idle(arguments: argparse.Namespace, suffix: str) -> None:
    """Refuses options that would do nothing where they are given."""
    if suffix not in _KINDS:
        raise BodymapError(f"template: found {arguments.out.name!r}; allowed: a name ending in .pdf, .svg or .dxf")
    sheets: dict[str, Any] = {"--paper": arguments.paper, "--landscape": arguments.landscape,
                              "--overlap-mm": arguments.overlap_mm}  # fmt: skip
    print_only = {"--plotter": arguments.plotter, "--printed-x-mm": arguments.printed_x_mm,
                  "--printed-y-mm": arguments.printed_y_mm, "--datum": arguments.datum}  # fmt: skip
    if suffix != ".pdf":
        _refuse({**sheets, **print_only}, f"{suffix} is in one piece and at true size; allowed: with a .pdf")
    elif arguments.plotter:
        _refuse(sheets, "--plotter makes one page; allowed: one or the other")


def _refuse(options: dict[str, Any], why: str) -> None:
    given = [name for name, value in options.items() if value not in (None, False)]
    if given:
        raise BodymapError(f"template: found {', '.join(given)}, but {why}")


def _pdf(arguments: argparse.Namespace, record: Record, head: Head, template: Template, settings: Settings) -> str:
    from bodymap.briefs.template_pages import sheets_words
    from bodymap.briefs.template_print import template_pdf
    from bodymap.views.template_page import TemplateChoice
    from bodymap.views.template_sheets import template_sheets

    choice = TemplateChoice(
        paper=arguments.paper or "A4",
        landscape=arguments.landscape,
        plotter=arguments.plotter,
        overlap_mm=arguments.overlap_mm,
        printed_x_mm=arguments.printed_x_mm,
        printed_y_mm=arguments.printed_y_mm,
    )
    if arguments.datum and template.kind != "line":
        raise BodymapError(f"template: found --datum for a {template.kind}; allowed: for a line")
    with progress() as step:
        view = template_sheets(template, settings, choice, stretch(step, 0.0, 0.3))
        strip = _strip(record, template, settings, arguments.datum)
        step("Setting the print", 0.3)
        made = template_pdf(view, head if head.count else None, now(), strip)
    write_print(arguments.out, made)
    if arguments.plotter:
        return f"one page of {view.frame.width_mm:.0f} × {view.frame.height_mm:.0f} mm"
    return f"{choice.paper}, {sheets_words(len(view.sheets), view.empty)}"


def _strip(record: Record, template: Template, settings: Settings, datum_id: str | None) -> LineStrip | str | None:
    from bodymap.views.line_strip import line_strip

    if template.kind != "line":
        return None
    try:
        return line_strip(record, template.ident, settings, datum_id=datum_id)
    except BodymapError as error:
        if datum_id:
            raise
        return f"No strip chart: {error}"


def _whole(out: Path, suffix: str, head: Head, template: Template) -> str:
    from bodymap.exchange.template_svg import template_svg
    from bodymap.views.template_whole import template_whole

    whole = template_whole(template, head.short if head.count else "not stated (no journal)", now()[:10])
    if suffix == ".svg":
        write_print(out, template_svg(whole))
    else:
        from bodymap.exchange.template_dxf import template_dxf

        write_print(out, template_dxf(whole))
    return f"{len(whole.tracks)} lines in mm"
