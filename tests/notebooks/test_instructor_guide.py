"""The instructor's pages: numbers of the panels, words of the bank, and minutes that add up."""

import json
import re
import sys

import nbformat
import pytest
from helpers.lesson_text import FOLDER, LessonText

from launcher import cli, lesson_copies, paths, server
from recoverykit.classroom.review import name_of, normalized_gain
from recoverykit.classroom.view import ClassReviewView
from recoverykit.course import progress
from recoverykit.course.questions import RIGHT, ChoiceQuestion
from recoverykit.lessons import LettingGoPanel, PeakForcePanel
from recoverykit.lessons.bank import LESSONS
from recoverykit.lessons.demonstrations import DEMONSTRATIONS, demonstration
from recoverykit.physics.formulas import peak_tension
from recoverykit.physics.rope import Rope, demo_rope
from recoverykit.units.quantities import US, Q, display, show

GUIDE = FOLDER / "instructor" / "guide.md"
TEXT = GUIDE.read_text(encoding="utf-8")
REVIEW = nbformat.read(FOLDER / "instructor" / "class-review.ipynb", as_version=4)


def section(heading):
    """The text under a heading, up to the next one of the same or a higher level."""
    marks = heading.partition(" ")[0]
    pattern = rf"^{re.escape(heading)}\b.*?\n(.*?)(?=^#{{1,{len(marks)}}} |\Z)"
    return re.search(pattern, TEXT, re.MULTILINE | re.DOTALL).group(1)


def rows(text):
    """The rows of the tables in a text, without their heads."""
    cells = [
        [cell.strip() for cell in line.strip("|").split("|")]
        for line in text.splitlines()
        if line.startswith("|")
    ]
    ruled = [n for n, row in enumerate(cells) if set("".join(row)) <= set("-: ")]
    heads = {*ruled, *(n - 1 for n in ruled)}
    return [row for n, row in enumerate(cells) if n not in heads]


# --- the minutes ------------------------------------------------------------------------


@pytest.mark.parametrize("minutes", [20, 60, 180])
def test_a_plan_takes_as_long_as_it_says(minutes):
    plan = rows(section(f"### {minutes} minutes"))
    assert sum(int(row[0]) for row in plan) == minutes
    assert plan[0][1].startswith("Cautions")
    assert re.search("makers|Cautions again", plan[-1][1])


def test_the_whole_course_takes_as_long_as_its_lessons():
    times = [
        int(re.search(r"\*\*Time: (\d+) minutes", LessonText(number).text).group(1))
        for number in LESSONS
    ]
    assert f"All eleven lessons take a learner alone {sum(times)} minutes" in TEXT


# --- the danger demonstration -----------------------------------------------------------


@pytest.mark.parametrize(("system", "column"), [("metric", 1), ("US", 3)])
@pytest.mark.parametrize("lesson", DEMONSTRATIONS)
def test_the_class_sees_what_the_guide_says(lesson, system, column):
    display.use(system)
    steps = rows(section(f"### In lesson {lesson}"))
    shown = demonstration(lesson)
    labels = [f"{row[0]} · {row[column]}" for row in steps]
    assert labels == shown.labels(display.system)
    for number, row in enumerate(steps):
        screen = shown.screen(number)
        words = f"{screen.number} {screen.sentence}".lower()
        for said in row[column + 1].split(", "):
            # A comma without a space belongs to a number.
            assert said.lower() in words, f"step {row[0]}: {said!r} is not in {words!r}"


def test_the_steps_are_counted_through():
    steps = rows(section("### In lesson 03")) + rows(section("### In lesson 09"))
    assert [row[0] for row in steps] == [str(number) for number in range(1, 10)]
    for number in range(1, 10):
        assert re.search(rf"^- \*\*Step {number}\.\*\*", TEXT, re.M)


def test_what_is_said_to_the_steps_holds():
    panel = PeakForcePanel()
    peaks = {}
    for speed in (4, 8, 16):
        panel.set(speed=Q(speed, "km/h"))
        peaks[speed] = panel.result
    first, second, third = (peaks[speed] for speed in (4, 8, 16))
    assert (second.peak / first.peak).m_as("") == pytest.approx(2)
    (above,) = [load.link for load in second.loads if load.verdict == "above working limit"]
    assert above.name == "soft shackle"
    # The number as it is stamped, whatever its unit.
    assert above == max(second.line.links, key=lambda link: link.rating.value.magnitude)
    assert {load.verdict for load in third.loads} == {"above working limit"}
    panel.reset()
    truck = panel.values["mass"]
    panel.set(speed=Q(8, "km/h"), mass=2 * truck)
    assert (panel.result.peak / second.peak).m_as("") == pytest.approx(1.4, abs=0.05)
    panel = LettingGoPanel()
    energies = []
    for tension in (20, 40):
        panel.set(tension=Q(tension, "kN"))
        energies.append(panel.result.let_go.energy)
    assert (energies[1] / energies[0]).m_as("") == pytest.approx(4)
    display.use("US")
    in_us = show(PeakForcePanel().values["mass"], "mass", US)
    assert f"{in_us} ({truck.m_as('kg'):.0f} kg)" in TEXT


# --- lesson by lesson -------------------------------------------------------------------


@pytest.mark.parametrize("number", LESSONS)
def test_the_answers_to_expect_are_those_of_the_bank(number):
    """A trainer finds the words of the class review in the guide."""
    expected = rows(section(f"### {number}"))
    assert len(expected) >= 4
    named = [re.fullmatch(r"question (\d): \*(.+)\*", row[0]) for row in expected]
    assert sum(match is not None for match in named) >= 3
    for match in filter(None, named):
        question = LESSONS[number].QUESTIONS[int(match.group(1)) - 1]
        assert match.group(2) in wrong_answers(question)
    (title,) = re.findall(rf"^# {number} · (.+)$", LessonText(number).text, re.MULTILINE)
    assert f"\n### {number} {title}\n" in TEXT


def wrong_answers(question):
    if not isinstance(question, ChoiceQuestion):
        return {name_of(name, question) for name in question.mistake_names}
    right = question.right_answer(question.numbers(seed=0))
    return {name_of(name, question) for name in question.options if name != right}


def test_a_winch_line_stops_in_a_third_of_the_way():
    assert "a third of the distance to stop in" in section("### 02")
    rope, winch_line = demo_rope(), demo_rope("winch line")
    alike = Rope(rope.length, rope.breaking_strength, winch_line.stretch_at_break)
    truck = PeakForcePanel().values["mass"]
    stretches = [
        each.extension(peak_tension(truck, Q(4, "km/h"), each.stiffness)) for each in (alike, rope)
    ]
    assert (stretches[0] / stretches[1]).m_as("") == pytest.approx(1 / 3, rel=0.05)


# --- files and commands -----------------------------------------------------------------


def test_progress_files_are_where_the_guide_says():
    folder = paths.MY_COURSE / progress.FOLDER
    assert f"{folder.relative_to(paths.ROOT).as_posix()}/ann.json" in TEXT
    assert progress.file_stem("Ann") == "ann"
    assert f"`{progress.file_stem(progress.DEFAULT_LEARNER)}.json`" in TEXT
    assert progress.file_stem("Ann Lee") != "ann lee", "a short code after such names"


def test_the_commands_of_the_guide_are_understood(monkeypatch):
    (line,) = re.findall(r"^    python3 course\.py (.+)$", TEXT, re.MULTILINE)
    name, *options = line.split()
    asked = []
    monkeypatch.setattr(server, "state_folder", lambda folder: asked.append(folder) or sys.exit(0))
    with pytest.raises(SystemExit):
        cli.run([name, *options])
    assert asked[0].name == options[-1]


def test_the_pages_are_copied_into_the_folder_of_the_learner():
    copied = {path.relative_to(paths.LESSONS).as_posix() for path in lesson_copies.lesson_files()}
    assert {"instructor/guide.md", "instructor/class-review.ipynb", "glossary.md"} <= copied


# --- words ------------------------------------------------------------------------------


def review_text():
    return "\n\n".join(cell.source for cell in REVIEW.cells if cell.cell_type == "markdown")


@pytest.mark.parametrize("text", [TEXT, review_text()], ids=["guide", "class review"])
def test_cautions_stand_at_the_top(text):
    assert "> **Caution.**" in text.split("\n## ")[0]
    for whom in ("makers' instructions", "local rules", "qualified trainer"):
        assert whom in text
    assert "common practice, no source" in text or "8 km/h" not in text


def test_sentences_are_short():
    plain = re.sub(r"^(\||    ).*$|`[^`]*`|\]\([^)]*\)", "", TEXT, flags=re.MULTILINE)
    sentences = re.split(r"(?<=[.?!:])[*\"”]*\s+|\n\n|\n- |\n\d\. ", plain)
    long = [s for s in sentences if len(s.split()) > 30]
    assert not long


# --- the class review -------------------------------------------------------------------


def test_the_formula_of_the_gain_and_its_example():
    text = review_text()
    assert r"$$g = \frac{\text{after} - \text{before}}{1 - \text{before}}$$" in text
    assert "(0.70 − 0.40) / (1 − 0.40) = 0.50" in text
    assert normalized_gain(0.40, 0.70) == pytest.approx((0.70 - 0.40) / (1 - 0.40))
    (example,) = (cell for cell in REVIEW.cells if cell.id == "example-gain")
    assert "before=0.40, after=0.70" in example.source


def test_a_file_in_the_folder_that_the_notebook_names_is_found(tmp_path, monkeypatch):
    (path,) = re.findall(r"`(class/\S+\.json)`", review_text())
    file = tmp_path / path
    file.parent.mkdir(parents=True)
    monkeypatch.chdir(tmp_path)
    book = progress.Progress("Ann", file.parent)
    book.record("03.peak", {"answer": "3 kN"}, RIGHT)
    book.path.rename(file)
    assert json.loads(file.read_text(encoding="utf-8"))["learner"] == "Ann"
    assert ClassReviewView().result.learners == 1
