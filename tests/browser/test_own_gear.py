"""The whole job of a trainer in a real browser: gear written once, measured, planned, printed."""

import contextlib
import time

import pytest
from helpers.printed import printed
from playwright.sync_api import expect

from recoverykit.course.gear import Gear
from recoverykit.course.gear_form import USE
from recoverykit.course.gear_picker import DEMO
from recoverykit.lessons.measured_pulls.keep_day import KEEP
from recoverykit.lessons.plan.own_line import GEAR_TITLE

PLAN = "10-plan-a-pull.ipynb"
VEHICLES = [
    {
        "Mass": f"{3000 + 100 * n} kg",
        "Driven wheels": "all",
        "Front point": "80 kN, MBS, factor 2",
        "Rear point": "60 kN, WLL, factor 3",
    }
    for n in range(4)
]
ROPES = [
    {"Length": length, "Strength": "160 kN, MBS, factor 4", "Stretch": "30 %", "Pulls so far": "7"}
    for length in ("9 m", "30 ft")
]
PARTS = [
    {
        "Number": f"{6 + n}",
        "Unit": "short tons",
        "Basis": "WLL",
        "Factor": "5",
        "Last looked at": "Nov 2026",
    }
    for n in range(12)
]
LINE = {
    "Recovery vehicle": "vehicle 1",
    "Its point": "rear",
    "Parts between": ["part 0", "part 3"],
    "Rope": "rope 1",
    "Stuck vehicle": "vehicle 2",
    "Point on stuck vehicle": "front",
}


def gear_of(lesson):
    """The form, unfolded."""
    lesson.wait_until_idle()
    place = lesson.output(has_text=GEAR_TITLE)
    place.get_by_text(GEAR_TITLE).click()
    return place


def write(form, kind, name, values):
    """Fill in a new row and save it."""
    form.get_by_label("My", exact=True).select_option(kind)
    form.get_by_label("Which", exact=True).select_option("a new one")
    expect(form.get_by_label("Name", exact=True)).to_have_value("")  # of a form made anew
    form.get_by_label("Name", exact=True).fill(name)
    for label, value in values.items():
        field = form.get_by_label(label, exact=True)
        if kind == "line" or label in ("Driven wheels", "Unit", "Basis"):
            field.select_option(value)
        else:
            field.fill(value)
    form.get_by_role("button", name="Save", exact=True).click()
    expect(form.get_by_text(f"Kept in my-{kind}s.csv: {name}.")).to_be_visible()


LOG = "speed [mph],peak [lbf]\n" + "".join(
    f"{speed},{factor * speed * 1500:.0f}\n" for factor in (0.99, 1.01) for speed in (1, 2, 3, 4)
)


@pytest.fixture(scope="module")
def took():
    """How long each part of the whole job took, in seconds; told at its end."""
    times = {}
    yield times
    each = ", ".join(f"{what} {seconds:.0f} s" for what, seconds in times.items())
    print(f"\nthe trainer's whole job: {each}; in all {sum(times.values()):.0f} s")


@contextlib.contextmanager
def opened(open_page, took, name, what):
    """A lesson, from the opening of its page until it is closed; nothing may go wrong on it."""
    start = time.monotonic()
    lesson = open_page(name)
    lesson.wait_until_idle()
    yield lesson
    lesson.expect_no_faults()
    took[what] = time.monotonic() - start
    lesson.page.close()


@pytest.fixture(scope="module")
def gear(open_page, started_course, took):
    """Gear written in one lesson that was closed again."""
    with opened(open_page, took, PLAN, "gear") as lesson:
        form = gear_of(lesson)
        for kind, rows in (
            ("vehicle", VEHICLES),
            ("rope", ROPES),
            ("part", PARTS),
            ("line", [LINE]),
        ):
            for number, values in enumerate(rows):
                write(form, kind, f"{kind} {number}", values)
    return Gear(started_course.folder)


@pytest.fixture(scope="module")
def measured(gear, open_page, took, tmp_path_factory):
    """A day of pulls, opened from a file and kept for the plan; what was said to that."""
    log = tmp_path_factory.mktemp("pulls") / "today.csv"
    log.write_text(LOG, encoding="utf-8")
    with opened(open_page, took, "08-measured-pulls.ipynb", "measured") as lesson:
        path = lesson.page.get_by_label("or its path")
        expect(path).to_be_visible()
        path.fill(str(log))
        path.press("Enter")
        expect(lesson.output(has_text="today.csv: 8 pulls at 4 speeds")).to_be_visible()
        day = lesson.output(has_text=KEEP)
        day.get_by_label("Rope", exact=True).select_option("rope 1")
        day.get_by_label("Vehicle", exact=True).select_option("vehicle 1")
        day.get_by_role("button", name=KEEP).click()
        said = day.get_by_text("Kept for the plan: rope 1 behind vehicle 1.")
        expect(said).to_be_visible()
        return " ".join(said.inner_text().split())


def test_all_that_was_written_is_in_plain_files(gear):
    files = (gear.vehicles, gear.ropes, gear.parts, gear.lines)
    assert [len(file.rows()) for file in files] == [4, 2, 12, 1]
    (line,) = gear.lines.rows()
    assert line["parts between"] == "part 0; part 3"


def test_a_day_of_pulls_goes_back_into_the_gear(measured, gear):
    assert measured.endswith("rope 1 has 15 pulls so far, 8 of them from this log.")
    assert [row["pulls so far"] for row in gear.ropes.rows()] == ["7", "15"]
    assert [row["name"] for row in gear.measured.rows()] == ["rope 1 behind vehicle 1"]


def test_a_line_of_it_is_looked_at_part_by_part(gear, open_page, took):
    with opened(open_page, took, "05-weakest-link.ipynb", "weakest part") as lesson:
        lesson.button("Show without a guess").click()
        expect(lesson.panel.sentence).to_contain_text("soft shackle")
        lesson.page.get_by_label("Line", exact=True).select_option("line 0")
        expect(lesson.panel.sentence).to_contain_text(
            "First to break: the front point of vehicle 2"
        )
        lesson.page.get_by_label("Line", exact=True).select_option(DEMO)
        expect(lesson.panel.sentence).to_contain_text("soft shackle")


def test_it_is_planned_with_and_printed_without_writing_anything_again(
    measured, open_page, started_course, took, tmp_path
):
    card = started_course.folder / "pull-card-example.pdf"
    with opened(open_page, took, PLAN, "plan and card") as lesson:
        form = gear_of(lesson)
        form.get_by_label("My", exact=True).select_option("line")
        form.get_by_label("Which", exact=True).select_option("line 0")
        form.get_by_role("button", name=USE, exact=True).click()
        told = form.get_by_text("The line is in the box, and in the plan.").first
        expect(told).to_contain_text("Your 8 measured pulls make the rope")
        lesson.button("Make the card").click()
        kept = lesson.output(has_text="kept in your folder, as pull-card-example.pdf")
        expect(kept).to_be_visible()
    said = " ".join(printed(card.read_bytes(), tmp_path).split())
    for part in ("part 0", "part 3", "rear point of vehicle 1", "front point of vehicle 2"):
        assert part in said
    assert "Pulls so far: 15." in said
