"""The minutes that a lesson states are honest: they come near to what its parts take."""

import re

import pytest
from helpers.lesson_text import LessonText

from recoverykit import lessons
from recoverykit.lessons.bank import LESSONS

# How long a learner takes, in minutes: our own estimate, no source.
WORDS_A_MINUTE = 180  # of a technical text
TO_TRY = 1.0
TO_ANSWER = 1.5  # or to guess
TO_READ_CODE = 0.5
FOR_THE_SURVEY = 5.0
OFF = 0.1  # of the estimate, up or down


def words(text) -> int:
    return len(re.findall(r"\w[\w'.,/²-]*", text))


def to_try(panel) -> float:
    """Minutes for the tasks of a panel."""
    tasks = getattr(lessons, panel).tasks
    return sum(TO_TRY + words(task.text + task.seen) / WORDS_A_MINUTE for task in tasks)


def estimate(cells) -> float:
    """Minutes for cells, but for the sources at their end."""
    minutes, heading = 0.0, ""
    for cell in cells:
        heading = (re.findall(r"^## (.+)$", cell.source, re.MULTILINE) or [heading])[-1]
        if heading == "Sources" or "drive-panels" in cell.metadata.get("tags", []):
            break
        if cell.cell_type == "markdown":
            read = re.sub(r"```.*?```", "", cell.source, flags=re.DOTALL)
            minutes += words(read) / WORDS_A_MINUTE
            if heading == "Try":
                minutes += TO_TRY * len(re.findall(r"^\d+\. ", read, re.MULTILINE))
        else:
            minutes += TO_ANSWER * len(re.findall(r'(?:ask|guess)\("', cell.source))
            minutes += FOR_THE_SURVEY * cell.source.count('ask_survey("')
            if cell.id.startswith("panel"):
                minutes += sum(to_try(panel) for panel in re.findall(r"(\w+Panel)\(", cell.source))
            minutes += TO_READ_CODE * cell.id.startswith("example-")
    return minutes


@pytest.mark.parametrize("system", ["metric", "US"])
@pytest.mark.parametrize("number", LESSONS)
def test_a_lesson_takes_about_as_long_as_it_says(number, system):
    lesson = LessonText(number, system)
    stated = int(re.search(r"\*\*Time: (\d+) minutes", lesson.text).group(1))
    assert 15 <= stated <= 25
    assert stated == pytest.approx(estimate(lesson.notebook.cells), rel=OFF)
