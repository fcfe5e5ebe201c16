"""Which cells of the lessons the commands know, and what stands at their top."""

import pytest

from launcher import lesson_cells, lesson_copies, paths

each_lesson = pytest.mark.parametrize("lesson", lesson_copies.lessons(), ids=lambda path: path.stem)

# What can only be filled in, pressed or looked at on a learner's own screen.
FOR_LEARNERS = {"my-name", "my-plan", "pull-card", "record"}


def test_all_eleven_are_there_in_order():
    assert [lesson.name[:2] for lesson in lesson_copies.lessons()] == [f"{n:02}" for n in range(11)]


@each_lesson
def test_a_lesson_begins_with_its_title_its_question_and_its_caution(lesson):
    title, question, caution = lesson_cells.top(lesson_cells.read(lesson))
    assert title.startswith(f"{lesson.name[:2]} · ")
    assert question.endswith("?")
    assert "*" not in question
    assert caution.startswith("> **Caution.** ")
    assert caution.rstrip().endswith((".", "</details>"))


@each_lesson
def test_every_code_cell_is_of_a_kind_that_the_commands_know(lesson):
    for cell in lesson_cells.read(lesson).cells:
        if cell.cell_type == "code":
            kinds = [
                cell.id == "tools",
                lesson_cells.is_panel(cell),
                lesson_cells.is_guess(cell),
                lesson_cells.is_example(cell),
                lesson_cells.is_test(cell),
                lesson_cells.is_illustration(cell),
                cell.id.startswith(("ask-", "own-")) or cell.id in FOR_LEARNERS,
            ]
            assert sum(kinds) == 1, cell.id


@each_lesson
def test_every_panel_that_waits_for_a_guess_is_known_as_a_panel(lesson):
    cells = lesson_cells.read(lesson).cells
    waiting = {cell.id for cell in cells if "Panel(" in cell.source and "guess=" in cell.source}
    panels = {cell.id for cell in cells if lesson_cells.is_panel(cell)}
    assert panels
    assert waiting <= panels


@pytest.mark.parametrize(
    ("text", "us", "metric"),
    [
        ("at 2.5 mph (4 km/h), or more", "at 2.5 mph, or more", "at 4 km/h, or more"),
        ("**6,000 lbf (26.7 kN)**", "**6,000 lbf**", "**26.7 kN**"),
        ("from 1 to 2 mph (2 to 4 km/h)", "from 1 to 2 mph", "from 2 to 4 km/h"),
        ("8½ ft (2.6 m) and 58 ft·lbf (79 J)", "8½ ft and 58 ft·lbf", "2.6 m and 79 J"),
        ("730 lbf per mph (2 kN per km/h)", "730 lbf per mph", "2 kN per km/h"),
        *((text,) * 3 for text in ("8 ft (three of them)", "5 kN (1,120 lbf)", "2 ft (4 m/s)")),
    ],
)
def test_of_a_pair_one_number_is_left(text, us, metric):
    assert lesson_cells.one_of_each_pair(text, "US") == us
    assert lesson_cells.one_of_each_pair(text, "metric") == metric


def test_the_page_looks_for_the_same_pairs():
    extension = paths.JUPYTER / "labextensions" / "recoverykit-lessons" / "static"
    script = (extension / "units.js").read_text(encoding="utf-8")
    for part in (lesson_cells.NUMBER, lesson_cells.US, lesson_cells.METRIC):
        assert f"= String.raw`{part}`;" in script
    pattern = r"(?<![\d.,])(${NUMBERS} ${US}) \((${NUMBERS} ${METRIC})\)"
    assert f"String.raw`{pattern}`" in script
    assert (
        pattern.replace("${NUMBERS}", lesson_cells.NUMBERS)
        .replace("${US}", lesson_cells.US)
        .replace("${METRIC}", lesson_cells.METRIC)
        == lesson_cells.PAIR.pattern
    )
