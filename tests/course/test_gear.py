"""My gear: files in the learner's folder, the form, and what a line of it becomes."""

import csv
import errno
import os
import threading

import ipywidgets
import pytest

from recoverykit.course.gear import ASK_TON, LINES, PARTS, ROPES, VEHICLES, Gear, line_of
from recoverykit.course.gear_files import GearFile
from recoverykit.course.gear_form import NEW, GearForm
from recoverykit.lessons import (
    ExtrapolationPanel,
    PeakForcePanel,
    PlanPanel,
    WeakestLinkPanel,
    ask_line,
    make_card,
)
from recoverykit.lessons.measured_pulls.keep_day import DayKeeper
from recoverykit.measurements.session import CurrentSession
from recoverykit.physics.rigging import UNKNOWN
from recoverykit.physics.rigging_text import read_line
from recoverykit.units.quantities import Q, display

TRUCK = {"mass": "3100 kg", "driven_wheels": "all", "rear_point": "60 kN, WLL, factor 3"}
CAR = {"mass": "1850 kg", "front_point": "80 kN, breaking strength, factor 2"}
ROPE = {"length": "9 m", "strength": "160 kN, MBS, factor 4", "stretch": "30 %"}
SHACKLE = {"number": "4 3/4", "unit": "short tons", "basis": "WLL", "factor": "5"}

WET_SOFT_SHACKLE = {
    "number": "100",
    "unit": "kN",
    "basis": "breaking strength",
    "factor": "5",
    "condition": "wet",
}


@pytest.fixture(autouse=True)
def folder(in_new_kernel, tmp_path):
    return tmp_path


@pytest.fixture
def form(folder):
    """A form with two vehicles, a rope and a part, and what it planned with."""
    made = GearForm(lambda line: f"Planned with {line.rope}.", folder)
    made.write("vehicle", name="truck", **TRUCK)
    made.write("vehicle", name="car", **CAR)
    made.write("rope", name="blue rope", pulls_so_far="7", **ROPE)
    made.write("part", name="bow shackle", last_looked_at="Nov 2026", **SHACKLE)
    return made


def write_line(form, parts=("bow shackle",), **changed):
    form.write(
        "line",
        **{
            "name": "usual",
            "recovery_vehicle": "truck",
            "its_point": "rear",
            "parts_between": tuple(parts),
            "rope": "blue rope",
            "stuck_vehicle": "car",
            "point_on_stuck_vehicle": "front",
            **changed,
        },
    )


def rewrite(form, kind, name, **changed):
    """Change what is written of a piece of gear."""
    form.kind.value, form.which.value = kind, name
    for column, value in changed.items():
        form.fields[column].value = value
    form.save()


def plan_page():
    """The panel of lesson 10, and the line to plan with."""
    panel = PlanPanel()
    return panel, ask_line(panel)


def plan_with_line(view, **changed):
    write_line(view.gear, **changed)
    view.gear.plan()


def lesson_05_with_line(name="usual"):
    panel = WeakestLinkPanel()
    panel.gear.choices["line"].value = name
    return panel


# --- files ------------------------------------------------------------------------------


def test_files_are_plain_csv_that_a_spreadsheet_opens(form, folder):
    write_line(form)
    for name, columns in (
        ("my-vehicles.csv", VEHICLES),
        ("my-ropes.csv", ROPES),
        ("my-parts.csv", PARTS),
        ("my-lines.csv", LINES),
    ):
        with open(folder / name, encoding="utf-8", newline="") as file:
            heading, *rows = csv.reader(file)
        assert tuple(heading) == columns
        assert rows
        assert all(len(row) == len(columns) for row in rows)


@pytest.mark.parametrize(
    ("content", "strength"),
    [
        (
            b"\xef\xbb\xbfname,length,strength,stretch,bought,pulls so far,color\r\n"
            b'red rope,30 ft,"35,000 lbf, MBS, factor 4",25 %,2024,3,red\r\n',
            "35,000 lbf, MBS, factor 4",
        ),
        (
            "name;length;strength;stretch;bought;pulls so far;color\r\n"
            "red rope;30 ft;155 kN, MBS, factor 4;25 %;März;3;red\r\n".encode("cp1252"),
            "155 kN, MBS, factor 4",
        ),
    ],
    ids=["as a US spreadsheet saves", "as a German spreadsheet saves"],
)
def test_what_a_spreadsheet_saved_is_read_and_its_own_columns_stay(folder, content, strength):
    (folder / "my-ropes.csv").write_bytes(content)
    ropes = Gear(folder).ropes
    (row,) = ropes.rows()
    assert (row["strength"], row["color"]) == (strength, "red")
    ropes.save({**row, "pulls so far": "4"}, row)
    assert ropes.rows()[0] == {**row, "pulls so far": "4"}
    assert len(ropes.rows()) == 1


def test_a_column_that_is_missing_or_written_in_capitals_is_no_damage(folder):
    (folder / "my-ropes.csv").write_text("NAME,Length,Pulls so far\nred rope,9 m\n")
    ropes = Gear(folder).ropes
    (row,) = ropes.rows()
    assert row == {**dict.fromkeys(ROPES, ""), "name": "red rope", "length": "9 m"}
    ropes.save({**row, "stretch": "30 %"}, row)
    assert ropes.rows() == [{**row, "stretch": "30 %"}]
    assert ropes.notice == ""


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b"PK\x03\x04\0\0\xff", "it is no text"),
        (b"rope,length\nblue,9 m\n", "it has no column name"),
        (b"name,length\n" + b"x" * 1_000_001, "it is far too large"),
        (b"name,length\n" + b"rope,9 m\n" * 501, "it has more than 500 rows"),
    ],
)
def test_a_damaged_file_is_set_aside_and_named(folder, content, reason):
    path = folder / "my-ropes.csv"
    path.write_bytes(content)
    ropes = GearFile(path, ("name", "length"))
    assert ropes.rows() == []
    assert f"my-ropes.csv could not be read ({reason})" in ropes.notice
    assert (folder / "my-ropes-damaged-1.csv").read_bytes() == content
    assert not path.exists()
    ropes.save({"name": "new rope", "length": "9 m"})
    assert [row["name"] for row in ropes.rows()] == ["new rope"]


def test_a_quotation_mark_that_is_never_closed_loses_no_row(folder):
    path = folder / "my-ropes.csv"
    path.write_bytes(b'name,length\n"rope,9 m\n\0')
    ropes = GearFile(path, ("name", "length"))
    assert len(ropes.rows()) == 1
    ropes.save({"name": "new rope", "length": "9 m"})
    assert len(ropes.rows()) == 2


def test_a_second_damaged_file_does_not_cover_the_first(folder):
    for number in (1, 2):
        (folder / "my-parts.csv").write_bytes(b"nothing %d" % number)
        Gear(folder).parts.rows()
    assert (folder / "my-parts-damaged-1.csv").read_bytes() == b"nothing 1"
    assert (folder / "my-parts-damaged-2.csv").read_bytes() == b"nothing 2"


def test_a_pipe_under_the_name_is_not_waited_for(folder):
    os.mkfifo(folder / "my-ropes.csv")
    form = GearForm(lambda line: "", folder)
    form.kind.value = "rope"
    assert "my-ropes.csv could not be read" in form.sentence


# --- two pages --------------------------------------------------------------------------


def test_two_pages_that_write_at_once_lose_nothing(folder):
    def write(page):
        for number in range(20):
            Gear(folder).parts.save({"name": f"part {page}-{number}"})

    pages = [threading.Thread(target=write, args=(page,)) for page in range(4)]
    for page in pages:
        page.start()
    for page in pages:
        page.join()
    names = {row["name"] for row in Gear(folder).parts.rows()}
    assert names == {f"part {page}-{number}" for page in range(4) for number in range(20)}


def test_a_row_that_two_pages_change_stays_in_both_forms(folder):
    one, other = Gear(folder).ropes, Gear(folder).ropes
    one.save({"name": "blue rope", "length": "9 m"})
    (seen,) = other.rows()
    one.save({**seen, "length": "10 m"}, seen)
    other.save({**seen, "length": "11 m"}, seen)
    assert '"blue rope" was changed or deleted on another page: both stay.' in other.notice
    assert {(row["name"], row["length"]) for row in one.rows()} == {
        ("blue rope", "10 m"),
        ("blue rope (2)", "11 m"),
    }


def test_what_another_page_changed_is_not_deleted(folder):
    one, other = Gear(folder).ropes, Gear(folder).ropes
    one.save({"name": "blue rope", "length": "9 m"})
    (seen,) = other.rows()
    one.save({**seen, "length": "10 m"}, seen)
    other.delete(seen)
    assert "was changed on another page, and stays" in other.notice
    (left,) = one.rows()
    other.delete(left)
    assert one.rows() == []


# --- the form ---------------------------------------------------------------------------


def test_what_was_written_is_there_in_another_form(form, folder):
    again = GearForm(lambda line: "", folder)
    again.kind.value = "vehicle"
    assert again.which.options == (NEW, "truck", "car")
    again.which.value = "truck"
    assert again.fields["mass"].value == "3100 kg"
    assert again.fields["driven wheels"].value == "all"


def test_a_row_is_edited_and_deleted(form):
    rewrite(form, "rope", "blue rope", length="30 ft")
    assert form.sentence == "Kept in my-ropes.csv: blue rope."
    assert [row["length"] for row in form.gear.ropes.rows()] == ["30 ft"]
    form.delete()
    assert form.sentence == "Deleted from my-ropes.csv: blue rope."
    assert form.gear.ropes.rows() == []
    form.delete()
    assert form.sentence == "Nothing was deleted: choose what to delete first."


@pytest.mark.parametrize(
    ("kind", "values", "says"),
    [
        ("part", {**SHACKLE, "unit": ASK_TON}, "can mean three things"),
        ("part", {**SHACKLE, "unit": ""}, "the unit is missing"),
        ("part", {**SHACKLE, "basis": ""}, 'write "WLL" or "breaking strength"'),
        ("part", {**SHACKLE, "factor": "0.5"}, "a design factor is above 1"),
        ("part", {**SHACKLE, "factor": "five"}, "five"),
        ("part", {**SHACKLE, "condition": "worn"}, "worn"),
        ("part", {**SHACKLE, "number": "heavy"}, "heavy"),
        ("rope", {**ROPE, "length": "long"}, "length: 'long' does not start with a number"),
        ("rope", {**ROPE, "length": "0 m"}, "length: 0 m is nothing"),
        ("rope", {**ROPE, "stretch": ""}, "stretch: nothing was written"),
        ("rope", {**ROPE, "strength": "160 kN"}, "nothing says what the force is"),
        ("rope", {**ROPE, "pulls_so_far": "many"}, 'pulls so far: "many" is no whole number'),
        ("vehicle", {**TRUCK, "mass": "3.1 tons"}, "mass: 'tons' can mean three things"),
        ("vehicle", {**TRUCK, "rear_point": "5 t, WLL"}, "'t' can mean three things"),
    ],
)
def test_what_cannot_be_planned_with_is_not_kept(folder, kind, values, says):
    form = GearForm(lambda line: "", folder)
    form.write(kind, name="mine", **values)
    assert form.sentence.startswith("Not kept. ")
    assert says.casefold() in form.sentence.casefold()
    assert list(folder.glob("my-*.csv")) == []
    first = next(iter(values))
    assert form.fields[first.replace("_", " ")].value == values[first]  # to correct, not retype


def test_two_things_with_one_name_are_refused(form):
    form.write("part", name="bow shackle", **SHACKLE)
    assert 'There is a "bow shackle" already' in form.sentence
    assert len(form.gear.parts.rows()) == 1


def test_of_two_with_one_name_that_a_spreadsheet_made_none_is_taken_for_the_other(form):
    write_line(form)
    path = form.gear.parts.path
    path.write_text(f"{path.read_text()}bow shackle,9,short tons,WLL,5,,today\n")
    form.plan()
    assert form.sentence == (
        'There is more than one part called "bow shackle" in your gear; give each its own name.'
    )


def test_a_part_whose_name_would_be_read_as_two_is_not_kept(form):
    form.write("part", name="bow; shackle", **SHACKLE)
    assert form.sentence.startswith('Not kept. The name has a ";" in it')
    assert len(form.gear.parts.rows()) == 1


# --- a line of it -----------------------------------------------------------------------


def test_a_line_of_own_gear_is_one_that_the_plan_reads(form):
    write_line(form)
    line = line_of(form.gear, form.gear.lines.rows()[0])
    assert line.text == (
        "rear point of truck: 60 kN, WLL, factor 3\n"
        "bow shackle: 4 3/4 short tons, WLL, factor 5\n"
        "blue rope: 160 kN, MBS, factor 4, 9 m, stretch 30 %\n"
        "front point of car: 80 kN, breaking strength, factor 2"
    )
    reading = read_line(line.text)
    assert reading.quantity.working_load_limit.m_as("kN") == pytest.approx(40)
    assert (line.recovery_mass.m_as("kg"), line.stuck_mass.m_as("kg")) == (3100, 1850)
    assert (line.rope, line.pulls, line.unrated) == ("blue rope", 7, ())


@pytest.mark.parametrize(("kind", "name"), [("rope", "blue rope"), ("part", "bow shackle")])
def test_a_line_of_what_is_no_longer_there_names_it(form, kind, name):
    write_line(form)
    form.kind.value, form.which.value = kind, name
    form.delete()
    form.kind.value, form.which.value = "line", "usual"
    form.plan()
    said = f'There is no {kind} called "{name}" in your gear; write it down first.'
    assert form.sentence == said


def test_four_vehicles_two_ropes_and_twelve_parts_are_planned_with_and_printed(folder):
    """Nothing is written twice: gear, a line of it, the plan, the card with the rope's pulls."""
    panel, view = plan_page()
    form, card = view.gear, make_card(panel)
    for number in range(4):
        form.write("vehicle", name=f"truck {number}", **TRUCK, front_point="60 kN, WLL")
    for number in range(2):
        form.write("rope", name=f"rope {number}", pulls_so_far=f"{number + 7}", **ROPE)
    for number in range(12):
        form.write("part", name=f"shackle {number}", last_looked_at="today", **SHACKLE)
    assert [
        len(file.rows()) for file in (form.gear.vehicles, form.gear.ropes, form.gear.parts)
    ] == [4, 2, 12]
    vehicles = {"recovery_vehicle": "truck 1", "stuck_vehicle": "truck 2"}
    plan_with_line(view, parts=["shackle 3", "shackle 7"], rope="rope 1", **vehicles)
    assert form.sentence.startswith("The line is in the box, and in the plan. Parts read: 5.")
    assert panel.values["vehicle"].m_as("kg") == panel.values["mass"].m_as("kg") == 3100
    assert panel.values["rope_length"].m_as("m") == 9
    panel.set(ground="wet grass", mire="wheels", vehicle_ground="gravel", dig_out=True)
    card.confirm()
    card.make()
    assert card.sentence.startswith("The card is kept in your folder, as pull-card.pdf")
    assert panel.pulls_so_far == 8
    panel.set(line="yard line")
    card.make()
    assert "pull-card-example" in card.sentence


def test_own_gear_without_a_stamp_gives_no_card(folder, form):
    panel, view = plan_page()
    card = make_card(panel)
    plan_with_line(view, its_point="front")
    card.confirm()
    card.make()
    assert "No working load limit is known for: front point of truck" in card.sentence
    assert list(folder.glob("pull-card*")) == []


def test_masses_beyond_the_sliders_change_nothing(folder, form):
    rewrite(form, "vehicle", "truck", mass="40 tonnes")
    panel, view = plan_page()
    before = dict(panel.values)
    plan_with_line(view)
    assert view.gear.sentence == (
        "The plan takes vehicles from 1000 kg to 9000 kg, and one of these has another mass."
    )
    assert panel.values == before


def test_it_says_so_where_fewer_wheels_are_driven_than_the_plan_counts_on(folder, form):
    _, view = plan_page()
    plan_with_line(view)
    assert "driven" not in view.gear.sentence
    view.gear.write("vehicle", name="second truck", **{**TRUCK, "driven_wheels": "rear"})
    plan_with_line(view, name="other line", recovery_vehicle="second truck")
    assert (
        "The plan counts on all wheels driven; with only the rear ones, the tires give less."
        in view.gear.sentence
    )


def test_every_field_of_the_form_has_a_name(form):
    for kind in form.kind.options:
        form.kind.value = kind
        assert all(isinstance(w, ipywidgets.Widget) and w.description for w in form.fields.values())


# --- from a day of pulls to the plan ------------------------------------------------------

SPEEDS = (2, 3, 4, 5, 6)


def a_log(stiffness):
    """Two rounds of pulls of 3100 kg on a rope of this stiffness (N/m), 2 % apart."""
    rows = [
        f"{v},{factor * v / 3.6 * (3100 * stiffness) ** 0.5 / 1000:.2f}"
        for factor in (0.99, 1.01)
        for v in SPEEDS
    ]
    return ("speed [km/h],peak [kN]\n" + "\n".join(rows)).encode()


@pytest.fixture
def keeper(form, folder):
    book = CurrentSession()
    book.read(a_log(60e3), "today.csv")
    made = DayKeeper(book, folder)
    made.rope.value, made.vehicle.value = "blue rope", "truck"
    return made


def test_a_day_is_kept_and_its_pulls_are_counted_once(keeper, form):
    keeper.keep()
    assert keeper.sentence == (
        "Kept for the plan: blue rope behind truck. blue rope has 17 pulls so far, 10 of them from "
        "this log."
    )
    keeper.keep()
    assert keeper.sentence.endswith("The pulls of this log were counted before.")
    assert [row["pulls so far"] for row in form.gear.ropes.rows()] == ["17"]
    keeper._book.read(a_log(61e3), "tomorrow.csv")
    keeper.keep()
    keeper._book.read(a_log(60e3), "renamed.csv")
    keeper.keep()
    assert [row["pulls so far"] for row in form.gear.ropes.rows()] == ["27"]
    assert len(form.gear.measured.rows()) == 1


def test_pulls_left_out_were_pulled_all_the_same(keeper, form):
    keeper._book.leave_out(2)
    keeper.keep()
    assert [row["pulls so far"] for row in form.gear.ropes.rows()] == ["17"]
    assert form.gear.measured.rows()[0]["pulls"] == "9"


def test_where_a_day_cannot_be_kept_its_pulls_are_counted_all_the_same(keeper, form, monkeypatch):
    save = GearFile.save

    def refuse_measured(file, row, old=None):
        if file.path.name == "my-measured-ropes.csv":
            raise OSError(errno.ENOSPC, "No space left on device")
        save(file, row, old)

    monkeypatch.setattr(GearFile, "save", refuse_measured)
    keeper.keep()
    assert keeper.sentence == "Not kept. No space left on device."
    assert [row["pulls so far"] for row in form.gear.ropes.rows()] == ["17"]


def test_what_is_not_chosen_or_invented_is_not_kept(form, folder):
    keeper = DayKeeper(CurrentSession(), folder)
    keeper.keep()
    assert keeper.sentence.startswith("Choose the rope and the vehicle of these pulls first")
    keeper.rope.value, keeper.vehicle.value = "blue rope", "truck"
    keeper.keep()
    assert keeper.sentence == "Not kept. These pulls are invented: open your own log first."
    assert form.gear.measured.rows() == []


def test_the_plan_of_the_same_rope_and_vehicle_takes_what_was_measured(keeper, form, folder):
    panel, view = plan_page()
    plan_with_line(view)
    panel.set(ground="wet grass", mire="wheels", vehicle_ground="gravel", dig_out=True)
    assert panel.result.measured == ""
    usual = panel.result.plan
    keeper.keep()
    view.gear.plan()
    measured = panel.result.plan
    assert "Your 10 measured pulls make the rope" in view.gear.sentence
    assert "Your 10 measured pulls make the rope" in panel.summary
    assert "no step is faster" in panel.summary
    assert measured.input_uncertainty.stiffness != usual.input_uncertainty.stiffness
    assert all(step.speed is None or step.speed.m_as("km/h") <= 7 for step in measured.steps)
    assert panel.pulls_so_far == 17
    view.write(view._box.value)  # typed: another line, for all that is known
    assert panel.result.measured == ""
    assert panel.pulls_so_far is None


def test_a_refused_line_leaves_what_was_measured(keeper, form, folder):
    keeper.keep()
    panel, view = plan_page()
    plan_with_line(view)
    planned = panel.result
    assert planned.measured
    view.write(f"{view._box.value}\n".replace("9 m", "45 m"))
    assert "Rope length" in view.sentence
    assert panel.result is planned
    assert panel.pulls_so_far == 17


def test_another_vehicle_or_rope_is_planned_with_as_usual(keeper, form, folder):
    keeper.keep()
    panel, view = plan_page()
    view.gear.write("vehicle", name="other truck", **TRUCK)
    plan_with_line(view, recovery_vehicle="other truck")
    assert panel.result.measured == ""


def test_a_changed_ladder_is_said(keeper, form, folder):
    keeper._book.read(a_log(300e3), "stiff.csv")
    keeper.keep()
    panel, view = plan_page()
    panel.set(ground="wet grass", mire="wheels", vehicle_ground="wet grass", dig_out=True)
    plan_with_line(view)
    assert "Without them the plan would be: " in panel.summary
    assert "; with them: " in panel.summary
    panel.set(stretch=Q(50, "percent"), rope_length=Q(30, "m"))
    assert panel.result.plan.outcome == UNKNOWN or panel.result.measured


# --- in the other lessons -----------------------------------------------------------------


@pytest.mark.parametrize("system", ["metric", "US"])
def test_lesson_03_takes_a_vehicle_and_a_rope_of_ones_own(form, system):
    display.use(system)
    panel = PeakForcePanel()
    before = dict(panel.values)
    assert panel.gear.choices["rope"].options == ("Marram Point", "blue rope")
    panel.gear.choices["vehicle"].value, panel.gear.choices["rope"].value = "car", "blue rope"
    assert panel.values["mass"].m_as("kg") == 1850
    assert panel.values["length"].m_as("m") == 9
    assert panel.values["strength"].m_as("kN") == pytest.approx(160)
    assert panel.values["stretch"].m_as("percent") == pytest.approx(30)
    for choice in panel.gear.choices.values():
        choice.value = "Marram Point"
    assert panel.values == before


def test_a_rope_without_a_stamp_is_not_taken(form):
    form.write("rope", name="red rope", **{**ROPE, "strength": ""})
    panel = PeakForcePanel()
    ropes = panel.gear.choices["rope"]
    for taken in ("Marram Point", "blue rope"):
        ropes.value = taken
        panel.set(length=Q(12, "m"))
        before = dict(panel.values)
        ropes.value = "red rope"
        assert panel.gear.sentence.startswith("Not taken. The breaking strength of red rope is not")
        assert panel.values == before
        assert ropes.value == taken


def test_lesson_08_takes_the_limit_of_a_line_of_ones_own_or_says_that_it_is_unknown(form):
    write_line(form)
    write_line(form, name="front", its_point="front")
    panel = ExtrapolationPanel()
    panel.gear.choices["line"].value = "usual"
    assert panel.values["line"] == "my own limit"
    assert panel.result.line.working_load_limit.m_as("kN") == pytest.approx(40)
    panel.gear.choices["line"].value = "front"
    assert panel.gear.sentence == (
        "Unknown: no working load limit is known for front point of truck."
    )
    assert panel.result.line is None
    assert panel.result.limit.value is None


def test_a_limit_that_lesson_08_takes_is_rounded_down(form):
    form.write("part", name="small one", last_looked_at="today", **{**SHACKLE, "number": "2.9"})
    write_line(form, ["small one"])
    panel = ExtrapolationPanel()
    panel.gear.choices["line"].value = "usual"
    assert panel.values["own_limit"] == "25.7 kN"  # 2.9 short tons are 25.7997 kN


@pytest.mark.parametrize("system", ["metric", "US"])
def test_lesson_05_takes_a_line_of_ones_own_part_by_part(form, system):
    display.use(system)
    form.write("part", name="soft shackle", last_looked_at="today", **WET_SOFT_SHACKLE)
    write_line(form, ["bow shackle", "soft shackle"])
    panel = WeakestLinkPanel()
    before, parts = dict(panel.values), panel.result.parts
    panel.gear.choices["line"].value = "usual"
    assert [(part.link.name, part.kind) for part in panel.result.parts] == [
        ("rear point of truck", "recovery point"),
        ("bow shackle", "bow shackle"),
        ("soft shackle", "soft shackle"),
        ("blue rope", "rope"),
        ("front point of car", "eye"),
    ]
    limits = [part.link.working_load_limit.m_as("kN") for part in panel.result.parts]
    assert limits == pytest.approx([60, 4.75 * 8.8964, 0.85 * 100 / 5, 40, 40], rel=1e-4)
    assert "First past its limit: the soft shackle" in panel.summary
    assert "First to break: the front point of car, at " in panel.summary
    panel.gear.choices["line"].value = "Marram Point"
    assert panel.values == before
    assert panel.result.parts == parts


def test_lesson_05_names_what_is_unrated_in_a_line_of_ones_own(form):
    form.write("part", name="strap", **SHACKLE)
    write_line(form, ["bow shackle", "strap"], its_point="front")
    panel = lesson_05_with_line()
    assert panel.gear.sentence == (
        "Unknown: no working load limit is known for front point of truck, strap. Strap was never "
        "looked at."
    )
    assert panel.summary.startswith(
        "Unknown: the front point of truck and the strap have no rating, so the line has none."
    )
    assert panel.summary.endswith("Nobody can say which part gives first.")


def test_where_a_strength_is_unknown_nothing_is_first_to_break(form):
    form.write("part", name="strap", last_looked_at="today", **{**SHACKLE, "factor": ""})
    write_line(form, ["bow shackle", "strap"])
    panel = lesson_05_with_line()
    assert panel.summary.endswith(
        "First to break: nobody can say; no breaking strength is known for the strap."
    )
    panel.set(tension=Q(80, "kN"))
    assert "parts at the front point of car, or sooner at the strap" in panel.summary


def test_water_counts_once_in_a_line_of_ones_own(form):
    rewrite(form, "rope", "blue rope", strength=f"{ROPE['strength']}, wet")
    write_line(form)
    panel = lesson_05_with_line()
    rope = panel.result.parts[2].link
    assert rope.working_load_limit.m_as("kN") == pytest.approx(0.85 * 40)
    panel.set(wet=True)
    assert panel.result.parts[2].link == rope
    panel.set(knot=True)
    assert panel.result.parts[2].link.working_load_limit.m_as("kN") == pytest.approx(0.51 * 40)


def test_more_parts_than_lesson_05_draws_are_refused(form):
    for name in ("strap", "sling", "link"):
        form.write("part", name=name, last_looked_at="today", **SHACKLE)
    write_line(form, ["bow shackle", "strap", "sling", "link"])
    panel = WeakestLinkPanel()
    before = panel.result
    panel.gear.choices["line"].value = "usual"
    assert panel.gear.sentence == (
        "Not taken. The picture has room for 6 parts, and this line has 7; lesson 10 plans with it "
        "all the same."
    )
    assert panel.result is before


@pytest.mark.parametrize(
    "back", [lambda panel: panel.reset(), lambda panel: panel.set(hitch="tow ball, unrated")]
)
def test_a_panel_that_goes_back_to_marram_point_says_so(form, back):
    write_line(form)
    panel = lesson_05_with_line()
    panel.set(tension=Q(10, "kN"))
    assert panel.gear.choices["line"].value == "usual"
    back(panel)
    assert panel.gear.choices["line"].value == "Marram Point"
    assert [part.link.name for part in panel.result.parts][
        -1
    ] == "recovery eye of the stuck vehicle"


def test_where_nothing_is_kept_nothing_is_offered_and_no_file_is_made(folder):
    for panel in (PeakForcePanel(), WeakestLinkPanel(), ExtrapolationPanel()):
        assert all(each.layout.display == "none" for each in panel.gear.choices.values())
    ask_line(PlanPanel())
    assert list(folder.glob("my-*")) == []
