"""A film report in lines for reading, worst first where there is a worst. Numbers are rounded here and nowhere before."""

from __future__ import annotations

from collections.abc import Iterator

from bodymap.film.report import FilmReport, ZoneReport
from bodymap.film.surface import NotEarned
from bodymap.model.record import Record
from bodymap.units import mm2_to_m2

_COLUMNS = (("n", 4), ("spots", 6), ("median", 8), ("mean", 8), ("s", 6), ("least", 7), ("most", 7))


def film_lines(record: Record, report: FilmReport) -> list[str]:
    """The report in lines: zones read, left against right, surfaces, suspected filler."""
    return [
        *_zones(record, report),
        "",
        *_sides(report),
        "",
        *_surfaces(record, report),
        "",
        *_filler(report),
    ]


def _zones(record: Record, report: FilmReport) -> Iterator[str]:
    heads = "".join(f"{head:>{width}}" for head, width in _COLUMNS)
    yield f"{report.phase + ', µm':28}{heads}  by the stack"
    silent = 0
    for zone_id, zone in report.zones.items():
        if not zone.film.n and not zone.film.refused:
            silent += 1
            continue
        yield _zone_line(record.zone[zone_id].name or zone_id, zone)
        if zone.film.refused:
            yield f"    {len(zone.film.refused)} not counted, as {zone.film.refused[0].why}"
        if zone.unexplained.verdict in ("excess", "deficit"):
            yield f"    {zone.unexplained.verdict}: {zone.unexplained.why}"
        for judge, verdict in (("ISO 19840", zone.iso19840), ("SSPC-PA 2", zone.sspc_pa2)):
            if verdict:
                yield f"    {judge}: {verdict.verdict}, {verdict.why}"
    yield f"{silent} zones have no reading in this phase"


def _zone_line(name: str, zone: ZoneReport) -> str:
    film = zone.film
    figures = (film.median_um, film.mean_um, film.sd_um, film.min_um, film.max_um)
    told = "".join(
        f"{'–' if um is None else format(um, '.0f'):>{width}}" for um, (_, width) in zip(figures, _COLUMNS[2:], strict=True)
    )
    stack = f"{zone.stack.low_um:.0f}–{zone.stack.high_um:.0f}" if zone.stack.known else "cannot tell"
    return f"{name[:27]:28}{film.n:4}{film.spots:6}{told}  {stack}"


def _sides(report: FilmReport) -> Iterator[str]:
    yield "Left against right"
    for side in report.sides.compared:
        yield f"  {side.left} / {side.right}: {side.verdict}, {side.why}"
    for pair in report.sides.left_out:
        yield f"  {pair.left} / {pair.right}: not compared, {pair.why}"
    if not report.sides.compared and not report.sides.left_out:
        yield "  no mirrored pair of zones was read"


def _surfaces(record: Record, report: FilmReport) -> Iterator[str]:
    yield "Film surface"
    for surface in report.surfaces:
        name = record.part[surface.panel.part_id].name
        yield f"  {name}: {'none, ' + surface.why if isinstance(surface, NotEarned) else surface.says}"
    if not report.surfaces:
        yield "  no panel was read"


def _filler(report: FilmReport) -> Iterator[str]:
    yield "Suspected filler"
    for area in report.filler.areas:
        again = area.refill
        yield (
            f"  {', '.join(area.zone_ids)}: {mm2_to_m2(area.surface_mm2):.3f} m², mean film {area.mean_um:.0f} µm, "
            f"{area.litres:.2f} L in place ({area.low_litres:.2f}–{area.high_litres:.2f})"
        )
        yield (
            f"    to fill again {again.low_litres:.2f}–{again.high_litres:.2f} L with the shrink margin, "
            f"{again.mixed_litres:.2f} L mixed" + (f"; {again.warning}" if again.warning else "")
        )
        yield f"    {area.why}"
    yield from (f"  {note}" for note in report.filler.notes)
    if not report.filler.areas and not report.filler.notes:
        yield "  none above the film from which it is suspected"
