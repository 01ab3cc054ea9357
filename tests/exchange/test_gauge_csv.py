"""Gauge files of every make-up, written by hand: what they seem to be is proposed, doubts are told, nothing is lost."""

from __future__ import annotations

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError, Faults
from bodymap.exchange.gauge_csv import GaugeMapping, Limits, as_setting, propose, read_gauge, remembered
from bodymap.model import Reading, Setting
from bodymap.settings import in_force

GERMAN = (
    "Prüfer;R. Schweiß\r\nDatum;07.10.2025\r\n\r\n"
    "Nr;Stelle;Schichtdicke (µm);;;Bemerkung\r\n"
    '1;T1;81,5;82,0;80,9;"Rost; links"\r\n'
    "2;T2;90,1;91,0;89,9;\r\n"
    "Los: B2\r\n"
    "3;T3;70,5;;71,1;\r\n"
    "Mittelwert;;81,2;;;\r\nStd. Abw.;;7,8\r\nAnzahl;8\r\n"
)
MILS = (
    "Date,Time,Reading,Unit,Batch\n"
    "10/07/2025,9:12 AM,3.2,mils,door\n10/07/2025,9:13:05 PM,3.4,mils,door\n"
    "Mean,,3.3,,\nStd Dev,,0.1,,\n"
)
TABBED = "spot\t1\t2\t3\tmean\nA\t0.081\t0.082\t0.080\t0.081\nB\t0.0835\t0.09\t0.1\t0.0912\n"


def values(content):
    return [[round(um, 6) for um in row.values_um] for row in content.rows]


def confirmed(data, **more):
    mapping = propose(data).mapping
    return read_gauge(data, mapping.model_copy(update={"unit": mapping.unit or "um"}), **more)


def test_semicolons_decimal_commas_windows_1252_batches_and_statistics():
    data = GERMAN.encode("cp1252")
    proposal = propose(data)
    mapping = proposal.mapping
    assert (mapping.encoding, mapping.delimiter, mapping.decimal, mapping.unit) == ("cp1252", ";", ",", "um")
    assert mapping.roles == ("number", "spot", "value", "value", "value", "note")
    assert proposal.unit_why == "the header 'Schichtdicke (µm)' says so"
    assert [row for row, _ in proposal.statistics] == [9, 10, 11]
    assert [row for row, _ in proposal.beside] == [1, 2]
    assert (proposal.batches, proposal.readings) == (("B2",), 3)
    assert any("Windows-1252" in doubt for doubt in proposal.doubts)
    assert any("columns without a header" in doubt and "4, 5" in doubt for doubt in proposal.doubts)
    content = read_gauge(data, mapping)
    assert values(content) == [[81.5, 82.0, 80.9], [90.1, 91.0, 89.9], [70.5, 71.1]]
    assert [(row.row, row.spot, row.batch) for row in content.rows] == [(5, "T1", None), (6, "T2", None), (8, "T3", "B2")]
    assert content.faults == ()
    assert len(content.left_out) == 7
    assert (9, "statistics: Mittelwert | 81,2") in content.left_out


def test_commas_mils_and_times_in_utf_8_with_a_mark():
    data = MILS.encode("utf-8-sig")
    proposal = propose(data)
    assert (proposal.mapping.delimiter, proposal.mapping.decimal, proposal.mapping.unit) == (",", ".", "mil")
    assert proposal.doubts == ("10/07/2025 may begin with the day or the month: the day is taken",)
    day_first = read_gauge(data, proposal.mapping)
    assert [row.taken for row in day_first.rows] == ["2025-07-10T09:12", "2025-07-10T21:13:05"]
    month_first = read_gauge(data, proposal.mapping.model_copy(update={"date_order": "mdy"}))
    assert [row.taken for row in month_first.rows] == ["2025-10-07T09:12", "2025-10-07T21:13:05"]
    assert values(day_first) == [[81.28], [86.36]]  # 1 mil is 25.4 µm exactly
    assert {row.batch for row in day_first.rows} == {"door"}


@pytest.mark.parametrize("header", ["Time", "Date", "Zeit"])
def test_a_column_of_moments_is_taken_with_its_date_whatever_it_is_headed(header):
    data = f"No;Thickness;Unit;{header}\n1;112,0;µm;2026-11-20 09:01\n2;114,5;µm;2026-11-20 09:03\n".encode()
    proposal = propose(data)
    assert proposal.mapping.roles == ("number", "value", "unit", "taken")
    assert proposal.doubts == ()
    assert [row.taken for row in read_gauge(data, proposal.mapping).rows] == ["2026-11-20T09:01", "2026-11-20T09:03"]


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be", "utf-8"])
def test_tabs_and_numbered_repeats_in_any_encoding(encoding):
    proposal = propose(TABBED.encode(encoding))
    assert proposal.mapping.delimiter == "\t"
    assert proposal.mapping.roles == ("spot", "value", "value", "value", "statistic")
    assert (proposal.mapping.unit, proposal.unit_why) == (None, "nothing in the file says; the readings go from 0.08 to 0.1")
    assert f"unit: {proposal.unit_why}" in proposal.doubts
    mm = read_gauge(TABBED.encode(encoding), proposal.mapping.model_copy(update={"unit": "mm"}))
    assert values(mm) == [[81, 82, 80], [83.5, 90, 100]]


def test_no_unit_confirmed_reads_nothing_and_says_so():
    content = read_gauge(TABBED.encode(), propose(TABBED.encode()).mapping)
    assert content.rows == ()
    assert {fault.allowed for fault in content.faults} == {"a unit stated for it"}
    assert len(content.faults) == 6


# AIAG, Statistical Process Control, Southfield MI 1995, p. 64: the first rows of primer on car body parts [mil], with their
# published means (2 places), as a gauge would write them without a header.
def test_the_aiag_batches_come_through_a_bare_file():
    text = "1.30\n1.10\n1.20\n1.25\n1.05\n0.95\n1.10\n1.16\n1.37\n0.98\n"
    proposal = propose(text.encode())
    assert (proposal.mapping.header, proposal.mapping.roles, proposal.mapping.unit) == (None, ("value",), None)
    content = read_gauge(text.encode(), proposal.mapping.model_copy(update={"unit": "mil"}))
    mean_um = sum(um for row in content.rows for um in row.values_um) / 10
    assert mean_um / 25.4 == pytest.approx(1.15, abs=0.005)


@pytest.mark.parametrize(
    ("text", "roles", "doubt"),
    [
        ("1;81,5\n2;82,0\n3;83,1\n", ("number", "value"), "no header"),
        ("A;81,5;82,0\nB;80,5;82,4\n", ("note", "value", "value"), "2 columns of numbers are taken as readings of one spot"),
        ("2025-10-07;81,5\n2025-10-08;82,5\n", ("date", "value"), "no header"),
        ("250\n251\n252\n", ("value",), "unit"),
        ("Mean;Min;Max\n81,5;80;83\n90;88;91\n", ("value", "statistic", "statistic"), "no column of readings; column 1"),
        ("Spot;Gloss;Film\nA;80;81,5\nB;95;82,5\n", ("spot", "ignore", "value"), "(Gloss) holds numbers and is left aside"),
        ("Spot;Thing\nA;81,5\nB;82,5\n", ("spot", "value"), "column 2 (Thing) is taken as value"),
        ("Zeit;Wert µm\n9:12;81\n9:14;82\n", ("time", "value"), "times of day without a date"),
        ("No;um\n1;81\n1;82\n2;83\n", ("spot", "value"), ""),
        ("No;um\n1;81\n2;82\n1;83\n2;84\n", ("number", "value"), ""),
    ],
)
def test_columns_by_word_or_by_what_stands_in_them(text, roles, doubt):
    proposal = propose(text.encode())
    assert proposal.mapping.roles == roles
    assert any(doubt in one for one in proposal.doubts) or not doubt
    if not doubt:
        assert proposal.doubts == ()


@pytest.mark.parametrize(
    ("text", "doubt"),
    [
        ("81,5\n82,5\n", "it may be one reading with a decimal comma, or two"),
        ("um\n1.250\n1.300\n", "it may part thousands"),
        ("a;um\nx;81,5\ny;82.5\n", "stand side by side"),
        ("um;mil\n81;82\n80;81\n", "more than one unit"),
        ("spot;date;um\nA;03/04/2026;81\n", "may begin with the day or the month"),
        ("spot;date;um\nA;03.04.26;81\n", "years of two digits"),
        ("spot;spot;um\nA;B;81\n", "2 columns seem to be spot"),
    ],
)
def test_every_ambiguity_is_named(text, doubt):
    assert any(doubt in one for one in propose(text.encode()).doubts)


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("um\n1.234,5\n2.345,5\n", [[1234.5], [2345.5]]),
        ("spot;um\nA;1,234.5\n", [[1234.5]]),
        ("um\n−5\n+81\n", [[-5], [81]]),
        ("um\n 81.5 \n82.5 µm\n3.2 mils\n", [[81.5], [82.5], [81.28]]),
        ('"um"\n"81.5"\n', [[81.5]]),
        ("Film (mm);Ort\n0,0815;A\n", [[81.5]]),
    ],
)
def test_numbers_as_people_and_gauges_write_them(text, found):
    assert values(confirmed(text.encode())) == found


def test_units_may_differ_by_row():
    text = "reading,unit\n81.5,um\n3.2,mil\n0.08,mm\n"
    assert propose(text.encode()).mapping.unit is None
    assert values(read_gauge(text.encode(), propose(text.encode()).mapping)) == [[81.5], [81.28], [80]]


def test_cells_that_are_no_reading_are_faults_with_row_and_column():
    content = confirmed(b"spot,um\n1,100\n1,OL\n2,\n2,99,7\n")
    assert [(fault.row, fault.column, fault.found) for fault in content.faults] == [
        (3, "um", "'OL'"),
        (5, "", "7 beyond the last column"),
    ]
    assert (4, "beside: 2") in content.left_out
    assert values(content) == [[100], [99]]
    # a decimal comma between commas: 99,7 has become two cells
    assert "1 rows have more cells than there are columns, first row 3" in propose(b"spot,um\n1,100\n2,99,7\n1,98\n").doubts


def test_days_that_do_not_exist_are_faults_and_the_reading_stays():
    content = confirmed(b"date,um\n2025-02-31,81\n2025-02-28,82\n")
    assert [(fault.row, fault.found) for fault in content.faults] == [(2, "'2025-02-31'")]
    assert [(row.taken, row.values_um) for row in content.rows] == [(None, (81,)), ("2025-02-28", (82,))]


def test_odd_readings_are_flagged_and_kept():
    content = confirmed(b"um\n-5\n0\n81\n2001\n", limits=Limits.of(in_force()))
    assert values(content) == [[-5], [0], [81], [2001]]
    assert [row.flags for row in content.rows] == [
        ("negative: -5 µm",),
        (),
        (),
        ("2001 µm is over the gauge's range, to 2000 µm",),
    ]
    assert confirmed(b"um\n3\n", limits=Limits(10.0, None)).rows[0].flags == ("3 µm is under the gauge's range, from 10 µm",)


def test_rows_there_twice_are_flagged_and_equal_readings_are_not():
    dated = confirmed(b"date,time,um\n2025-10-07,9:12,81\n2025-10-07,9:13,81\n2025-10-07,9:12,81\n")
    assert [row.flags for row in dated.rows] == [(), (), ("the same as row 2",)]
    numbered = confirmed(b"no,um\n1,81\n2,81\n1,81\n")
    assert [row.flags for row in numbered.rows] == [(), (), ("the same as row 2",)]
    assert [row.flags for row in confirmed(b"um\n81\n81\n81\n").rows] == [(), (), ()]


def test_an_import_repeated_is_flagged():
    held = [
        Reading(reading_id=f"R{n}", zone_id="z", um=um, principle="magnetic", taken=taken)
        for n, (um, taken) in enumerate(
            [(70.0, None), (81.0, "2025-10-07T09:12:00"), (82.0, None), (83.0, None), (84.0, None), (85.0, None)]
        )
    ]
    dated = confirmed(b"taken,um\n2025-10-07T09:12:00,81\n2025-10-07T09:12:00,82\n", readings=held)
    assert [row.flags for row in dated.rows] == [("in the record already as R1",), ()]
    whole = confirmed(b"um\n81\n82\n83\n84\n85\n", readings=held)
    assert {row.flags for row in whole.rows} == {("the whole file is in the record already, from R1 on",)}
    assert all(row.flags == () for row in confirmed(b"um\n81\n82\n83\n84\n86\n", readings=held).rows)
    assert all(row.flags == () for row in confirmed(b"um\n81\n82\n", readings=held).rows)  # two alike may be chance


def test_a_mapping_is_remembered_in_the_record_and_fits_the_next_file():
    mapping = propose(GERMAN.encode("cp1252")).mapping.model_copy(update={"rows_left_out": (5,)})
    setting = as_setting("gauge_A", mapping, "confirmed by Ann")
    assert (setting.key, setting.basis) == ("gauge_file_gauge_A", "own trial")
    again = remembered([Setting(key="corner_deg", value="25", basis="own trial"), setting])
    assert again == {"gauge_A": mapping.model_copy(update={"rows_left_out": ()})}
    next_file = "Nr;Stelle;Schichtdicke (µm);;;Bemerkung\n1;T9;55,5;54,0;56,0;\n".encode("cp1252")
    assert values(read_gauge(next_file, again["gauge_A"])) == [[55.5, 54, 56]]
    assert in_force([setting]).value("corner_deg") == 30  # a mapping disturbs no working figure
    assert remembered([Setting(key="gauge_file_x", value="{}", basis="own trial")]) == {}


def test_a_mapping_does_not_fit_another_header():
    with pytest.raises(BodymapError, match=r"found the header 'um'; allowed: 'spot \| um'"):
        read_gauge(b"um\n81\n", propose(b"spot,um\nA,81\n").mapping)


def test_rows_are_left_out_by_hand_and_told():
    mapping = propose(b"um\n81\n82\n").mapping.model_copy(update={"rows_left_out": (2,)})
    content = read_gauge(b"um\n81\n82\n", mapping)
    assert values(content) == [[82]]
    assert (2, "left out by hand: 81") in content.left_out


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "no text"),
        (b" \n\n", "no text"),
        (b"\x00" * 60, "no text"),
        (b"spot,um\nA,thick\n", "no row of readings"),
        (b"Mean,81\nMax,90\n", "no row of readings"),
        (b'um\n"81\n', "quotes"),
    ],
)
def test_what_is_no_gauge_file_is_told(data, words):
    with pytest.raises((BodymapError, Faults), match=words):
        propose(data)


def test_a_file_too_long_is_not_read():
    with pytest.raises(Faults, match="at most"):
        propose(b"81\n" * 7_000_000)


def test_another_encoding_than_confirmed_is_told():
    mapping = propose("Ort;µm\nA;81\n".encode()).mapping
    with pytest.raises(Faults, match="no utf-8"):
        read_gauge("Ort;µm\nA;81\n".encode("cp1252"), mapping)


@given(
    st.lists(st.lists(st.floats(1, 1999).map(lambda um: round(um, 1)), min_size=3, max_size=3), min_size=2, max_size=8),
    st.sampled_from([(",", "."), (";", ","), (";", "."), ("\t", ","), ("\t", ".")]),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "cp1252"]),
    st.booleans(),
    st.sampled_from([("µm", 1.0), ("mm", 1000.0)]),
)
def test_whatever_signs_a_gauge_uses_its_readings_come_back(readings, signs, encoding, statistics, unit):
    delimiter, decimal = signs
    name, times = unit
    text = io.StringIO()
    writer = csv.writer(text, delimiter=delimiter)
    writer.writerow(["Spot", *(f"Reading {k} ({name})" for k in (1, 2, 3))])
    for number, row in enumerate(readings, 1):
        writer.writerow([f"P{number}", *(f"{um / times:.6f}".rstrip("0").replace(".", decimal) + "0" for um in row)])
    if statistics:
        writer.writerow(["Mean", "81" + decimal + "5", "", ""])
    data = text.getvalue().encode(encoding)
    proposal = propose(data)
    assert proposal.mapping.unit == {"µm": "um", "mm": "mm"}[name]
    content = read_gauge(data, proposal.mapping)
    if not any("part thousands" in doubt for doubt in proposal.doubts):
        assert [pytest.approx(row, abs=0.01) for row in readings] == [list(row.values_um) for row in content.rows]
    assert content.faults == ()
    assert len(proposal.statistics) == statistics


@given(st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
def test_any_bytes_are_read_or_told(data):
    try:
        proposal = propose(data)
        content = read_gauge(data, proposal.mapping.model_copy(update={"unit": "um"}))
    except BodymapError:
        return
    told = {row.row for row in content.rows} | {row for row, _ in content.left_out} | {fault.row for fault in content.faults}
    assert len(told) >= proposal.readings + len(proposal.statistics) + len(proposal.beside)
    assert GaugeMapping.model_validate_json(proposal.mapping.model_dump_json()) == proposal.mapping
