"""Which cells of the lessons the commands know, and what stands at their top."""

import pytest

import course
from commands import lessons

each_lesson = pytest.mark.parametrize("lesson", course.lessons(), ids=lambda path: path.stem)

# What can only be filled in, pressed or looked at on a learner's own screen.
FOR_LEARNERS = {"my-name", "my-plan", "pull-card", "record"}


def test_all_eleven_are_there_in_order():
    assert [lesson.name[:2] for lesson in course.lessons()] == [f"{n:02}" for n in range(11)]


@each_lesson
def test_a_lesson_begins_with_its_title_its_question_and_its_caution(lesson):
    title, question, caution = lessons.top(lessons.read(lesson))
    assert title.startswith(f"{lesson.name[:2]} · ")
    assert question.endswith("?")
    assert "*" not in question
    assert caution.startswith("> **Caution.** ")
    assert caution.rstrip().endswith((".", ":"))


@each_lesson
def test_every_code_cell_is_of_a_kind_that_the_commands_know(lesson):
    for cell in lessons.read(lesson).cells:
        if cell.cell_type == "code":
            kinds = [
                cell.id == "tools",
                lessons.is_panel(cell),
                lessons.is_guess(cell),
                lessons.is_example(cell),
                lessons.is_test(cell),
                cell.id.startswith(("ask-", "own-")) or cell.id in FOR_LEARNERS,
            ]
            assert sum(kinds) == 1, cell.id


@each_lesson
def test_every_panel_that_waits_for_a_guess_is_known_as_a_panel(lesson):
    cells = lessons.read(lesson).cells
    waiting = {cell.id for cell in cells if "Panel(" in cell.source and "guess=" in cell.source}
    panels = {cell.id for cell in cells if lessons.is_panel(cell)}
    assert panels
    assert waiting <= panels
