"""The hand-over file as data, against figures worked out by hand (see `tests.hand_over_case`)."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.exchange.open_folder import read_folder
from bodymap.film.summary import ZoneFilm, phase_of
from bodymap.geometry.areas import areas_of
from bodymap.model import Area, Coat, Drawing, Layer, Part, Record, Shape, Signoff, Source, Stack, Step, Vehicle, Zone
from bodymap.settings import in_force
from bodymap.views.as_left import as_left
from bodymap.views.hand_over import HandedOver, hand_over_view
from bodymap.views.hand_over_film import film_words
from bodymap.views.hand_over_history import layers_words
from bodymap.views.hand_over_kept import retained_by, retained_by_coat
from bodymap.views.hand_over_parts import Banner, Column, Row, Standing, Table, table
from bodymap.views.people import people_of, record_without_names
from tests.folders import BARE, tank, write_case
from tests.hand_over_case import NAMES, OBSERVER, OWNER, SIGNER, box, trailer, trailer_folder

STANDING = Standing(7, "ab" * 32, "Record as it was kept")


@pytest.fixture
def record(tmp_path):
    return read_folder(trailer_folder(tmp_path)).record


def view_of(record, **more):
    given = {"journal": (), "copies": (), "late": (), "standing": STANDING, "ends": STANDING, "at": "2026-05-01T00:00:00Z"}
    return hand_over_view(HandedOver(record, **(given | more)))


def table_in(view, chapter, caption):
    blocks = next(one.blocks for one in view.chapters if one.ident == chapter)
    return next(one for one in blocks if isinstance(one, Table) and one.caption.startswith(caption))


def cells(found):
    return {row.cells[0]: row.cells[1:] for row in found.rows}


def test_retained_finish_by_part_face_and_side_as_worked_out_by_hand(record):
    view = view_of(record)
    by_part = cells(table_in(view, "kept", "Retained finish by part"))
    assert by_part["Frame"] == ("1.000", "1.060", "0.100", "0.105", "9.91", "0.000")
    # an estimate is marked, in its own row and in the sum it goes into; nobody plans anything on the lid but a coat
    assert by_part["Lid"] == ("≈ 0.100", "≈ 0.100", "≈ 0.000", "≈ 0.000", "≈ 0.00", "≈ 0.000")
    assert by_part["Whole vehicle"] == ("≈ 1.100", "≈ 1.160", "≈ 0.100", "≈ 0.105", "≈ 9.05", "≈ 0.000")
    by_face = cells(table_in(view, "kept", "Retained finish by face"))
    assert by_face["flange"][:5] == ("0.400", "0.400", "0.050", "0.050", "12.50")
    assert cells(table_in(view, "kept", "Retained finish by side"))["Side"][3] == "0.105"


def test_retained_finish_by_coat_goes_by_the_as_found_stack(record):
    rows, silent = retained_by_coat(record, areas_of(record))
    kept = {row.coat_id: (row.zones, row.totals.surface_mm2, row.totals.kept_surface_mm2) for row in rows}
    assert kept["red"] == (2, pytest.approx(1.06e6), pytest.approx(105_000))
    assert kept["grey"] == (1, pytest.approx(0.66e6), pytest.approx(55_000))
    assert "new" not in kept
    assert silent.surface_mm2 == pytest.approx(100_000)


@st.composite
def panels(draw):
    """A row of oblong zones on two drawings, kept areas anywhere over them, and a plan of strips and coats."""
    sizes = draw(st.lists(st.tuples(st.integers(20, 400), st.integers(20, 300)), min_size=1, max_size=5))
    ratios, faces = st.none() | st.floats(1, 2), st.sampled_from(["outer", "flange", "jamb"])
    zones, x = [], 0
    for number, (wide, high) in enumerate(sizes):
        drawing, part = draw(st.sampled_from(["d0", "d1"])), draw(st.sampled_from(["p0", "p1"]))
        shape = Shape.model_validate(box(x, 0, wide, high))
        zones.append(
            Zone(
                zone_id=f"z{number}",
                drawing_id=drawing,
                part_id=part,
                face=draw(faces),
                surface_ratio=draw(ratios),
                shape=shape,
            )
        )
        x += wide
    edge = st.integers(-50, 900)
    keeps = [
        Area(area_id=f"k{number}", drawing_id=draw(st.sampled_from(["d0", "d1"])), purpose="keep",
             shape=Shape.model_validate(box(draw(edge), draw(st.integers(-50, 200)), draw(st.integers(5, 300)), 40)))
        for number in range(draw(st.integers(0, 3)))
    ]  # fmt: skip
    stacks = [
        Stack(stack_id=z.zone_id, zone_id=z.zone_id, method="chip", reaches_substrate=draw(st.booleans())) for z in zones
    ]
    asked = draw(st.lists(st.sampled_from([*(zone.zone_id for zone in zones), "c0", "c1"]), max_size=5))
    steps = [
        Step(step=number, action="coat" if target.startswith("c") else "strip", target=(target,))
        for number, target in enumerate(asked, start=1)
    ]
    return Record(
        Vehicle(vehicle_id="v", name="V"),
        drawings=(Drawing(drawing_id="d0", name="0", kind="outside"), Drawing(drawing_id="d1", name="1", kind="hidden")),
        parts=tuple(Part(part_id=name, name=name, substrate="steel", removable=False) for name in ("p0", "p1")),
        zones=tuple(zones),
        coats=tuple(Coat(coat_id=name, name=name, kind="colour") for name in ("c0", "c1")),
        stacks=tuple(stacks),
        layers=tuple(Layer(stack_id=one.stack_id, position=1, coat_id="c0", extent="full") for one in stacks),
        areas=tuple(keeps),
        steps=tuple(steps),
    )


@given(record=panels())
@settings(max_examples=60, deadline=None)
def test_whatever_is_grouped_adds_up_to_the_areas(record):
    areas, pieces = areas_of(record), as_left(record, in_force())
    for key in (lambda zone: zone.part_id, lambda zone: zone.face, lambda zone: zone.drawing_id):
        groups = retained_by(record, areas, pieces, key)
        for name, whole in vars(areas.totals).items():
            assert sum(getattr(one.totals, name) for one in groups) == pytest.approx(whole, abs=1e-6)
        left = sum(one.left_mm2 for one in groups)
        kept = sum(piece.surface_mm2 for piece in pieces if piece.state in ("kept", "kept_harmed"))
        assert kept == pytest.approx(areas.totals.kept_surface_mm2, abs=1e-6)
        # where no step does anything, all that is not kept is left alone
        if not record.steps:
            assert left + kept == pytest.approx(areas.totals.surface_mm2)
    # the pieces are the zones, cut up: nothing is lost and nothing counted twice
    assert sum(piece.drawn_mm2 for piece in pieces) == pytest.approx(areas.totals.drawn_mm2)


def test_old_and_new_surface_as_worked_out_by_hand(record):
    states = {}
    for piece in as_left(record, in_force()):
        states[piece.zone_id, piece.state] = states.get((piece.zone_id, piece.state), 0) + piece.surface_mm2
    # step 1 strips low outside K1; step 2 coats everything, kept area included: nothing is masked
    assert states == {
        ("low", "kept_harmed"): pytest.approx(55_000),
        ("low", "again"): pytest.approx(605_000),
        ("high", "kept_harmed"): pytest.approx(50_000),
        ("high", "over"): pytest.approx(350_000),
        ("lid", "over_unseen"): pytest.approx(100_000),
    }


def test_a_coat_with_the_id_of_an_old_one_is_new_all_the_same(tmp_path):
    steps = [{"step": "1", "action": "coat", "target": "grey"}]
    record = read_folder(trailer_folder(tmp_path, steps__csv=steps)).record
    pieces = [piece for piece in as_left(record, in_force()) if piece.zone_id == "low" and piece.state != "kept_harmed"]
    assert [(piece.state, piece.stack, piece.new) for piece in pieces] == [
        ("over", (("red", "full"), ("grey", "full"), ("grey", "full")), frozenset({"grey"}))
    ]


def test_without_a_plan_everything_is_as_found_or_not_seen(tmp_path):
    record = read_folder(trailer_folder(tmp_path, steps__csv=None)).record
    assert {(piece.zone_id, piece.state) for piece in as_left(record, in_force())} == {
        ("low", "kept"), ("low", "as_found"), ("high", "kept"), ("high", "as_found"), ("lid", "not_seen")
    }  # fmt: skip
    left = next(chapter for chapter in view_of(record).chapters if chapter.ident == "left")
    assert "No step is planned" in left.blocks[0].words


def test_what_was_made_again_is_marked_and_nothing_old_is(record):
    view = view_of(record)
    again = table_in(view, "again", "Boundaries that were made again")
    assert [(row.cells[0], row.kind) for row in again.rows] == [("Stripe again (M1)", "again")]
    coats = table_in(view, "again", "New coats")
    assert [row.cells[0] for row in coats.rows] == ["Grey, new (new)"]
    assert coats.rows[0].cells[5].startswith("accepted:")
    # the line lies on `high`, which is painted over along all of its 2 m but where K1 does not reach
    assert cells(table_in(view, "again", "Painted lines"))["l1"][1:3] == ("2.00", "2.00")
    kept = table_in(view, "kept", "Kept areas")
    assert [row.kind for row in kept.rows] == [""]


def test_shares_of_old_and_new_surface_add_up_to_the_whole(record):
    rows = table_in(view_of(record), "again", "Old and new surface").rows
    assert sum(float(row.cells[3]) for row in rows[:-1]) == pytest.approx(100, abs=0.01 * len(rows) / 2)


def test_a_plan_that_nobody_says_was_done_is_said_to_be_one(record):
    def banners(of, beginning="PLANNED ONLY"):
        view = view_of(of)
        return [
            block.words
            for chapter in view.chapters
            if chapter.ident in ("left", "again")
            for block in chapter.blocks
            if isinstance(block, Banner) and block.words.startswith(beginning)
        ]

    assert banners(record) == []
    unsigned = record.with_kind("signoff", [one for one in record.signoffs if one.what != "coat accepted"])
    assert banners(unsigned) == [], "film was read after a coat: not all of it is a plan"
    unsigned = unsigned.with_kind("reading", [one for one in record.readings if phase_of(one) == "as found"])
    assert len(banners(unsigned)) == 2
    done = Source(source_id="D9", kind="statement", title="Step 1 done: strip", date="2026-04-02", by="x")
    begun = unsigned.with_kind("source", [*unsigned.sources, done])
    assert banners(begun) == []
    assert len(banners(begun, f"PARTLY PLANNED: 1 of {len(record.steps)} steps")) == 2
    # Where a part lies says nothing of the work.
    lies = Source(source_id="D9", kind="statement", title="Where it lies: rack B", about=("frame",))
    assert len(banners(unsigned.with_kind("source", [*unsigned.sources, lies]))) == 2


def test_a_kept_area_says_who_signed_for_it(record):
    signed = [
        Signoff(subject="K1", what="keep", by="A", on="2026-01-02"),
        Signoff(subject="K1", what="keep", by="B", on="2026-01-03"),
    ]
    with_them = table_in(view_of(record.with_kind("signoff", signed)), "kept", "Kept areas")
    assert with_them.rows[0].cells[-1] == "A, 2026-01-02; B, 2026-01-03"
    assert table_in(view_of(record.with_kind("signoff", [])), "kept", "Kept areas").rows[0].cells[-1] == "not signed"


def test_a_median_that_ends_in_a_half_is_printed_as_it_is():
    # Halves rounded to the even neighbour would print 252 and 254 for 252.5 and 253.5; a spreadsheet shows neither.
    for median, said in ((252.5, "252.5"), (253.5, "253.5"), (252.0, "252")):
        assert film_words(ZoneFilm("z", 2, 1, median, 1.0, median, 250.0, 255.0, ())).startswith(f"{said} (250–255)")


def test_film_before_and_after(record):
    rows = table_in(view_of(record), "film", "Film before and after").rows
    assert rows[0].cells[:4] == ("Low", "92 (90–94), 2 readings", "after Grey, new (new)", "52 (52–52), 1 reading")
    refused = table_in(view_of(record), "film", "Readings that are kept")
    assert [row.cells[2] for row in refused.rows] == ["r4"]


def test_deviations_name_step_and_kept_area(record):
    harmed = table_in(view_of(record), "deviations", "Steps that go over a kept area")
    assert {(row.cells[0], row.cells[2]) for row in harmed.rows} == {("2", "K1")}


def test_steps_told_done_stand_with_the_work_and_not_among_the_evidence(tmp_path):
    told = [
        {"source_id": "D1", "kind": "statement", "date": "2026-04-02", "by": SIGNER, "about": "new",
         "title": "Step 2 done: coat; batch 24-117; air 20 °C; humidity 70 %; surface 16 °C; note: second gun"},
        {"source_id": "D2", "kind": "statement", "title": "Step 9 done: fit", "about": "lid"},
        {"source_id": "L1", "kind": "statement", "title": "Where it lies: rack A", "by": OWNER, "date": "2026-03-01",
         "about": "lid"},
    ]  # fmt: skip
    record = read_folder(trailer_folder(tmp_path, sources__csv=[*trailer()["sources.csv"], *told])).record
    view = view_of(record)
    done = {row.cells[0]: row.cells[1:] for row in table_in(view, "materials", "Steps told done").rows}
    # 20 °C at 70 % has its dew point at 14.4 °C (public dew-point table, expydoc.com, "Taupunkttabelle"): 1.6 °C above it.
    assert done["2"] == (
        "Coat Grey, new", "2026-04-02", SIGNER, "24-117", "20 °C, 70 %, surface 16 °C", "1.6 °C, damp", "second gun",
    )  # fmt: skip
    assert done["9"][0] == "fit lid (the plan has no such step now)"
    banners = [block.words for one in view.chapters if one.ident == "materials" for block in one.blocks
               if isinstance(block, Banner)]  # fmt: skip
    near = next(words for words in banners if words.startswith("Sprayed too near the dew point: step 2"))
    assert "1.6 °C above it" in near
    assert "Do not spray" not in near, "it is on already"
    assert cells(table_in(view, "materials", "Where the parts lay")) == {"Lid": ("rack A", OWNER, "2026-03-01")}
    assert [row.cells[0] for row in table_in(view, "sources", "Sources").rows] == ["q1", "q2", "q3"]
    without = [line for one in view.chapters if one.ident == "unseen" for block in one.blocks for line in _texts(block)
               if "D1" in line or "L1" in line]  # fmt: skip
    assert without == []


def _texts(block):
    if isinstance(block, Table):
        return [cell for row in block.rows for cell in row.cells]
    lines = getattr(block, "lines", None) or getattr(block, "words", None) or getattr(block, "rows", ())
    return [lines] if isinstance(lines, str) else [str(line) for line in lines]


def test_layers_say_what_was_looked_for_and_is_absent(tmp_path):
    layers = [
        {"stack_id": "s1", "position": "1", "coat_id": "red", "extent": "full", "um": "40"},
        {"stack_id": "s1", "position": "2", "coat_id": "grey", "extent": "none"},
        {
            "stack_id": "s1",
            "position": "3",
            "coat_id": "new",
            "extent": "mist",
            "interface": "dirt;gloss",
            "cut_back": "yes",
        },
    ]
    record = read_folder(trailer_folder(tmp_path, layers__csv=layers)).record
    assert layers_words(record, record.stack["s1"]) == "red 40 µm, grey absent, [dirt, gloss] [cut back] new mist"


@pytest.mark.parametrize("files", [BARE, tank()])
def test_other_records_have_every_chapter(tmp_path, files):
    view = view_of(read_folder(write_case(tmp_path / "case", files)).record)
    assert [chapter.ident for chapter in view.chapters] == [
        "job", "found", "left", "kept", "again", "history", "film", "materials", "deviations", "unseen", "sources",
        "reading",
    ]  # fmt: skip
    assert len({one.ident for one in view.maps}) == len(view.maps)


def test_the_history_is_told_without_the_one_stack_that_contradicts(tmp_path):
    files = trailer()
    layers = [
        *files["layers.csv"],
        *({"stack_id": "s2", "position": n, "coat_id": c, "extent": "full"} for n, c in ((2, "grey"),)),
    ]
    stack = {"stack_id": "s3", "zone_id": "high", "method": "chip", "reaches_substrate": "yes"}
    layers += [{"stack_id": "s3", "position": n, "coat_id": c, "extent": "full"} for n, c in ((1, "grey"), (2, "red"))]
    record = read_folder(trailer_folder(tmp_path, layers__csv=layers, stacks__csv=[*files["stacks.csv"], stack])).record
    blocks = next(chapter.blocks for chapter in view_of(record).chapters if chapter.ident == "history")
    banner = next(block.words for block in blocks if hasattr(block, "words") and isinstance(block.words, str))
    assert "as if s3 were set aside" in banner
    order = table_in(view_of(record), "history", "Order of the coats")
    assert [row.cells[1] for row in order.rows] == ["red lead (red)", "grey, old (grey)"]


def test_a_table_has_one_cell_for_each_column():
    with pytest.raises(ValueError, match="another number of cells"):
        table("x", (Column("a"), Column("b")), (Row(("1",)),), "")


def test_people_are_numbers_the_same_everywhere(record):
    people = people_of(record)
    plain = record_without_names(record, people)
    said = " ".join(repr(entry.model_dump()) for entry in plain.entries() if entry.KIND != "zone")
    for name in NAMES:
        assert not [word for word in name.split() if len(word) > 3 and word in said]
    assert plain.vehicle.owner == people.labels[OWNER.casefold()]
    assert {stack.by for stack in plain.stacks} == {people.labels[OBSERVER.casefold()]} == {plain.readings[0].by}
    # ids, figures and everything else stay
    assert [zone.zone_id for zone in plain.zones] == [zone.zone_id for zone in record.zones]
    assert plain.readings[1] == record.readings[1]


@pytest.mark.parametrize(
    ("by", "text", "told"),
    [
        ("Ana Bell", "Ana  bell said so", "person 1 said so"),
        ("Ana Bell", "Bell said, the bell rang, Bellman came", "person 1 said, the bell rang, Bellman came"),
        ("Ana Bell and Bo", "Bo, then Ana", "person 2, then person 1"),
        ("Zoe\u0308 Falk", "asked Zo\u00eb Falk", "asked person 1"),
        ("restorer", "the restorer's hand", "the person 1's hand"),
        ("O. K.", "(o. k.) it was", "(person 1) it was"),
    ],
)
def test_a_name_is_found_in_other_texts(tmp_path, by, text, told):
    stacks = [{"stack_id": "s1", "zone_id": "low", "method": "chip", "reaches_substrate": "no", "by": by, "note": text}]
    files = trailer() | {"stacks.csv": stacks, "vehicle.csv": [{"vehicle_id": "t", "name": "T"}]}
    apart = ("readings.csv", "sources.csv", "signoffs.csv", "media/")
    files = {name: rows for name, rows in files.items() if not name.startswith(apart)}
    files["layers.csv"] = [row for row in files["layers.csv"] if row["stack_id"] == "s1"]
    record = read_folder(write_case(tmp_path / "t", files)).record
    assert record_without_names(record, people_of(record)).stacks[0].note == told
