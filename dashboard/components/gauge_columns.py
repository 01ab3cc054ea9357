"""What a gauge file seems to be: told in a line; its columns and first rows can be opened, and lie open if need be."""

from __future__ import annotations

from dataclasses import dataclass

import streamlit as st

from bodymap.errors import BodymapError
from bodymap.exchange.gauge_csv import GaugeContent, GaugeProposal
from dashboard.components import fields
from dashboard.components.film_state import Gauge
from dashboard.loaders import Opened
from dashboard.loaders import film as read
from dashboard.state import forget
from dashboard.words import count, plain

ROLES = {
    "value": "reading",
    "number": "running number",
    "spot": "spot",
    "batch": "batch",
    "taken": "date and time",
    "date": "date",
    "time": "time",
    "unit": "unit",
    "statistic": "mean or other statistic",
    "note": "note",
    "ignore": "not used",
}
UNITS = {"um": "µm", "mil": "mil (0.001 inch)", "mm": "mm"}
_DECIMALS = {".": "point: 81.5", ",": "comma: 81,5"}
_ORDERS = {"ymd": "year month day", "dmy": "day month year", "mdy": "month day year"}
_ROWS_SHOWN, _CELL_MOST, _TOLD_MOST = 9, 24, 8


@dataclass(frozen=True)
class Rows:
    """The readings of a file as it is read now, and how many values they are."""

    content: GaugeContent

    @property
    def values(self) -> int:
        """Single readings."""
        return sum(len(row.values_um) for row in self.content.rows)


def show(now: Opened, gauge: Gauge) -> Rows | None:
    """The columns; None while the file cannot be read like this."""
    proposal = read.proposal(gauge.data, gauge.name)
    with st.container(key="gauge_columns"):
        told = st.container()
        # One that lies open by itself stays open while it is answered.
        with st.expander(
            "Its columns, unit and first rows", key=f"gauge_as_read_{gauge.turn}_{gauge.asks}", expanded=gauge.asks
        ):
            _anew(gauge, proposal)
            _columns(gauge, proposal)
            _manner(gauge)
            _first_rows(gauge)
    rows = _read(now, gauge)
    with told:
        _told(gauge, proposal)
    if rows is None and not gauge.asks:
        gauge.asks = True
        st.rerun()
    return rows


def _anew(gauge: Gauge, proposal: GaugeProposal) -> None:
    if gauge.remembered_as and st.button("Propose anew", key="gauge_anew"):
        gauge.remembered_as, gauge.mapping = "", proposal.mapping
        forget("gauge_role_")
        forget("gauge_unit")
        st.rerun()


def _told(gauge: Gauge, proposal: GaugeProposal) -> None:
    """In a line what is decided by itself; each doubt, as it may be decided wrongly."""
    unit = UNITS.get(gauge.mapping.unit or "", "a unit of each row" if "unit" in gauge.mapping.roles else "an unknown unit")
    said = [count(proposal.readings, "row") + f" of readings in {unit}"]
    if proposal.statistics:
        said.append(f"{count(len(proposal.statistics), 'row')} of statistics set aside")
    if proposal.beside:
        said.append(f"{count(len(proposal.beside), 'row')} beside the table")
    if proposal.batches:
        said.append(f"batches {', '.join(proposal.batches[:4])}")
    before = f" Read as confirmed before for **{plain(gauge.remembered_as)}**." if gauge.remembered_as else ""
    st.markdown(plain("; ".join(said) + ".") + before)
    for doubt in () if gauge.remembered_as else proposal.doubts:
        st.markdown(f":material/help: {plain(doubt)}")


def _columns(gauge: Gauge, proposal: GaugeProposal) -> None:
    """One field for each column, with what stands in it."""
    roles = list(gauge.mapping.roles)
    places = st.columns(2)
    for number, column in enumerate(proposal.columns[: len(roles)]):
        name = column.header or f"no header, column {number + 1}"
        seen = ", ".join(example[:_CELL_MOST] for example in column.examples) or "empty"
        with places[number % 2], st.container(key=f"gauge_column_{number}"):
            label = f"{number + 1} · {plain(name[:_CELL_MOST])}"
            roles[number] = fields.one_of(label, ROLES, f"gauge_role_{number}", roles[number])
            st.caption(plain(f"{seen} ({column.why})"))
    gauge.mapping = gauge.mapping.model_copy(update={"roles": tuple(roles)})


def _manner(gauge: Gauge) -> None:
    """Unit, decimal sign, order of dates."""
    mapping = gauge.mapping
    left, right = st.columns(2)
    unit = fields.one_of("Unit of the readings *", UNITS, "gauge_unit", mapping.unit, place=left, placeholder="say which")
    decimal = fields.one_of("Decimal sign", _DECIMALS, "gauge_decimal", mapping.decimal, place=right)
    order = mapping.date_order
    if {"date", "taken"} & set(mapping.roles):
        order = fields.one_of("Dates are written", _ORDERS, "gauge_dates", order, place=left)
    gauge.mapping = mapping.model_copy(update={"unit": unit, "decimal": decimal, "date_order": order})


def _first_rows(gauge: Gauge) -> None:
    """The beginning and the end of the file as it stands."""
    shown = read.first_rows(gauge.data, gauge.name, gauge.mapping, _ROWS_SHOWN)
    wide = max((len(cells) for _, cells in shown), default=0)
    table = [
        {"Row": f"{number}"} | {f"{place + 1}": _cell(cells, place) for place in range(wide)} for number, cells in shown
    ]
    with st.container(key="gauge_rows"):
        st.caption("Its first and last rows:")
        st.table(table, border="horizontal")


def _cell(cells: tuple[str, ...], place: int) -> str:
    return plain(cells[place][:_CELL_MOST]) if place < len(cells) and cells[place] else " "


def _read(now: Opened, gauge: Gauge) -> Rows | None:
    if gauge.mapping.unit is None and "unit" not in gauge.mapping.roles:
        st.warning("Say the unit of the readings: the file does not.")
        return None
    try:
        content = read.gauge_content(now, gauge.data, gauge.name, gauge.mapping)
    except BodymapError as error:
        st.error("The file cannot be read like this.")
        st.text(str(error))
        return None
    if content.faults:
        st.warning(f"{count(len(content.faults), 'cell')} could not be read and will not be taken in:")
        st.text("\n".join(str(fault) for fault in content.faults[:_TOLD_MOST]))
    if not content.rows:
        st.error("No reading is left like this: look at the columns and the unit.")
        return None
    return Rows(content)
