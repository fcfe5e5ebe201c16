"""A clock that jumps by years, back and forth: order comes from the file, never from the time."""

from datetime import UTC, datetime

import pytest

from recoverykit.classroom.class_files import read_class
from recoverykit.classroom.review import review
from recoverykit.course.progress import Progress
from recoverykit.course.question_view import QuestionView
from recoverykit.lessons.bank import find_question
from recoverykit.lessons.ideas import SURVEY

YEARS = (2026, 1970, 2099, 2026, 1, 9999, 2025)


@pytest.fixture
def clock():
    """A clock that is set anew at every look."""
    years = iter(YEARS * 3)
    return lambda: datetime(next(years), 3, 4, tzinfo=UTC)


def test_the_last_answer_is_the_last_that_was_written(tmp_path, clock):
    book = Progress("Ann", tmp_path, clock)
    for number in range(len(YEARS)):
        book.record("03.peak", {"answer": f"{number} kN"}, "too low")
    again = Progress("Ann", tmp_path)
    assert [entry.typed["answer"] for entry in again.entries()] == [
        f"{number} kN" for number in range(len(YEARS))
    ]
    assert QuestionView(find_question("03.peak"), again)._box.typed == "6 kN"
    assert [int(entry.time[:4]) for entry in again.entries()] == list(YEARS)


def test_a_class_review_counts_the_first_answer_and_the_last_survey(tmp_path, clock):
    book = Progress("Ann", tmp_path, clock)
    right = {idea.id: idea.right for idea in SURVEY.ideas}
    book.record("03.peak", {"answer": "1 kN"}, "too low")
    book.record("00.survey", right, SURVEY.check(right).verdict)
    book.record("10.survey", right, SURVEY.check(right).verdict)
    book.record("03.peak", {"answer": "2 kN"}, "right")
    result = review(read_class(tmp_path).learners.values())
    assert result.both == 1
    (peak,) = [tally for tally in result.questions if tally.question.id == "03.peak"]
    assert str(peak.missed) == "1 of 1"


def test_a_copy_from_before_a_jump_is_still_the_older_one(tmp_path, clock):
    book = Progress("Ann", tmp_path / "a", clock)
    book.record("03.peak", {"answer": "1 kN"}, "too low")
    (tmp_path / "b").mkdir()
    (tmp_path / "b" / "ann.json").write_bytes(book.path.read_bytes())
    book.record("03.peak", {"answer": "2 kN"}, "right")
    found = read_class(tmp_path)
    assert list(found.learners) == ["a/ann.json"]
    assert found.left_out == {"b/ann.json": "all that it holds is in a/ann.json, too"}
