"""My gear in a real browser: written once, there again after closing, planned with, printed."""

import time

import pytest
from helpers.printed import printed
from playwright.sync_api import expect

from recoverykit.course.gear import Gear
from recoverykit.course.gear_form import USE
from recoverykit.lessons.plan.own_line import GEAR_TITLE

LESSON = "10-plan-a-pull.ipynb"
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
    form.get_by_label("Name", exact=True).fill(name)
    for label, value in values.items():
        field = form.get_by_label(label, exact=True)
        if kind == "line" or label in ("Driven wheels", "Unit", "Basis"):
            field.select_option(value)
        else:
            field.fill(value)
    form.get_by_role("button", name="Save", exact=True).click()
    expect(form.get_by_text(f"Kept in my-{kind}s.csv: {name}.")).to_be_visible()


@pytest.fixture(scope="module")
def written(open_page, started_course):
    """Gear written in one lesson that was closed again, and how long that took, in seconds."""
    lesson = open_page(LESSON)
    form = gear_of(lesson)
    start = time.monotonic()
    for kind, rows in (("vehicle", VEHICLES), ("rope", ROPES), ("part", PARTS), ("line", [LINE])):
        for number, values in enumerate(rows):
            write(form, kind, f"{kind} {number}", values)
    took = time.monotonic() - start
    lesson.page.close()
    return took


def test_all_that_was_written_is_in_plain_files(written, started_course):
    gear = Gear(started_course.folder)
    files = (gear.vehicles, gear.ropes, gear.parts, gear.lines)
    assert [len(file.rows()) for file in files] == [4, 2, 12, 1]


def test_it_is_planned_with_and_printed_without_writing_anything_again(
    written, open_page, started_course, tmp_path
):
    start = time.monotonic()
    lesson = open_page(LESSON)
    form = gear_of(lesson)
    form.get_by_label("My", exact=True).select_option("line")
    form.get_by_label("Which", exact=True).select_option("line 0")
    form.get_by_role("button", name=USE, exact=True).click()
    expect(form.get_by_text("The line is in the box, and in the plan.").first).to_be_visible()
    lesson.button("Make the card").click()
    card = started_course.folder / "pull-card-example.pdf"
    expect(lesson.output(has_text="kept in your folder, as pull-card-example.pdf")).to_be_visible()
    said = " ".join(printed(card.read_bytes(), tmp_path).split())
    for part in ("part 0", "part 3", "rear point of vehicle 1", "front point of vehicle 2"):
        assert part in said
    assert "Pulls so far: 7." in said
    expect(lesson.errors).to_have_count(0)
    assert lesson.complaints == []
    print(f"gear {written:.0f} s, plan and card {time.monotonic() - start:.0f} s")
