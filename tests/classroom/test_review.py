"""What came of a class: counted by hand beside it, and the tables that go to a spreadsheet."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recoverykit.classroom.review import (
    Count,
    ideas_csv,
    name_of,
    normalized_gain,
    questions_csv,
    review,
    signed,
)
from recoverykit.classroom.sample_class import invented_class
from recoverykit.course.progress import Entry
from recoverykit.course.questions import COMMITTED, RIGHT, TOO_HIGH, UNREADABLE, ChoiceQuestion
from recoverykit.course.survey import AFTER, BEFORE, ENTRY_IDS, UNSURE
from recoverykit.lessons.bank import LESSONS, find_question
from recoverykit.lessons.ideas import SURVEY
from recoverykit.units.quantities import InputError

RIGHT_ANSWERS = {idea.id: idea.right for idea in SURVEY.ideas}
UNSURES = dict.fromkeys(RIGHT_ANSWERS, UNSURE)
TIME = "2026-01-01T00:00:00+00:00"

share = st.floats(0, 1)


def survey(occasion, chosen):
    return Entry(ENTRY_IDS[occasion], chosen, COMMITTED, 0, TIME)


def learner(before, after=None):
    entries = [survey(BEFORE, UNSURES | before)]
    return entries if after is None else [*entries, survey(AFTER, UNSURES | after)]


def answer(id, verdict):
    return Entry(id, {"answer": "…"}, verdict, 0, TIME)


def idea(result, id):
    (tally,) = (tally for tally in result.ideas if tally.idea.id == id)
    return tally


# --- the gain ---------------------------------------------------------------------------


@given(share, share)
def test_the_gain_is_what_was_gained_of_what_could_be(before, after):
    gain = normalized_gain(before, after)
    if before == 1:
        assert gain is None
    else:
        assert gain <= 1
        assert (gain > 0) == (after > before)
        assert before + gain * (1 - before) == pytest.approx(after)


@pytest.mark.parametrize("shares", [(-0.1, 0.5), (0.5, 1.01), (40, 70), (float("nan"), 0.5)])
def test_a_gain_of_what_is_no_share_is_refused(shares):
    with pytest.raises(InputError, match="write a share from 0 to 1"):
        normalized_gain(*shares)


# --- ideas ------------------------------------------------------------------------------


def test_counted_by_hand():
    class_ = [
        learner({"01": "four"}, {"01": "four", "03": "twice"}),
        learner({"01": "twice"}, {"01": "four", "03": "four"}),
        learner({}, {"01": "same", "03": "four"}),
        learner({}, {"01": "four", "03": "same"}),
    ]
    result = review(class_)
    first, third = idea(result, "01"), idea(result, "03")
    assert (first.before, first.after) == (Count(1, 4), Count(3, 4))
    assert first.gain == pytest.approx(2 / 3)
    assert first.commonest == "the same: only its weight counts."
    assert (third.before, third.after, third.gain) == (Count(0, 4), Count(1, 4), 0.25)
    assert third.commonest == "four times as high."
    assert (result.before, result.after) == (Count(1, 40), Count(4, 40))
    assert result.gain == pytest.approx((4 - 1) / 39)


def test_only_those_who_answered_twice_are_compared():
    both = learner({}, RIGHT_ANSWERS)
    once = learner(RIGHT_ANSWERS)
    late = [survey(AFTER, RIGHT_ANSWERS)]
    result = review([both, once, late, [answer("03.peak", RIGHT)]])
    assert (result.learners, result.both) == (4, 1)
    assert (result.before, result.after) == (Count(0, 10), Count(10, 10))
    assert "1 answered the survey both times" in result.summary


def test_after_the_first_lesson_there_is_a_before_and_no_gain():
    result = review([learner(RIGHT_ANSWERS), learner({}), learner({"01": "same"})])
    assert idea(result, "01").before == Count(1, 3)
    assert idea(result, "01").after == Count(0, 0)
    assert idea(result, "01").commonest == "I don't know."
    assert result.gain is None
    assert "Nobody has answered the survey both times yet" in result.summary
    assert "Right answers: 33% before the course." in result.summary


def test_where_all_were_right_before_there_is_no_gain_to_speak_of():
    result = review([learner(RIGHT_ANSWERS, RIGHT_ANSWERS | {"02": "winch"})])
    assert result.gain is None
    assert idea(result, "02").gain is None
    assert "gain" not in result.summary


def test_an_idea_that_one_file_lacks_is_counted_without_it():
    old = [
        survey(BEFORE, UNSURES | {"02": "an answer of old"}),
        survey(AFTER, RIGHT_ANSWERS),
    ]
    result = review([old, learner({}, RIGHT_ANSWERS)])
    assert idea(result, "02").before == Count(0, 1)
    assert idea(result, "02").after == Count(1, 1)
    assert idea(result, "03").after == Count(2, 2)


def test_a_class_of_nobody():
    result = review([])
    assert (result.learners, result.gain, result.questions) == (0, None, ())
    assert result.summary == "0 learners. Nobody has answered the survey both times yet."


def test_few_learners_are_warned_of():
    few, many = (review([learner({}, RIGHT_ANSWERS)] * n).summary for n in (9, 10))
    assert "With so few learners" in few
    assert "With so few learners" not in many


# --- questions --------------------------------------------------------------------------


def test_the_first_answer_that_could_be_read_counts():
    class_ = [
        [answer("03.faster", UNREADABLE), answer("03.faster", "square of the speed")],
        [answer("03.faster", "square of the speed"), answer("03.faster", RIGHT)],
        [answer("03.faster", RIGHT), answer("03.faster", "root of the speed")],
        [answer("03.faster", UNREADABLE)],
    ]
    (tally,) = review(class_).questions
    assert (tally.name, tally.topic) == ("Lesson 03, question 2", "faster")
    assert tally.missed == Count(2, 3)
    assert (tally.mistake, tally.mistaken) == ("square of the speed", 2)


def test_a_mistake_with_a_name_tells_more_than_too_high():
    class_ = [
        [answer("03.peak", TOO_HIGH)],
        [answer("03.peak", TOO_HIGH)],
        [answer("03.peak", "mass for force")],
    ]
    (tally,) = review(class_).questions
    assert (tally.mistake, tally.mistaken) == ("mass for force", 1)
    (tally,) = review(class_[:2]).questions
    assert (tally.mistake, tally.mistaken) == ("too high", 2)


def test_most_missed_come_first():
    result = review(invented_class())
    shares = [tally.missed.share for tally in result.questions]
    assert shares == sorted(shares, reverse=True)
    assert len(shares) == sum(len(bank.QUESTIONS) for bank in LESSONS.values())


def test_a_question_of_an_older_course_is_not_counted():
    assert review([[answer("03.gone", RIGHT), answer("99.x", "y")]]).questions == ()


@pytest.mark.parametrize("bank", LESSONS.values(), ids=LESSONS)
def test_every_mistake_of_the_bank_has_a_name_without_numbers(bank):
    for question in bank.QUESTIONS:
        choices = isinstance(question, ChoiceQuestion)
        names = question.options if choices else question.mistakes
        said = [name_of(name, question) for name in names]
        assert len(set(said)) == len(said)
        assert not any("{" in words or "another mistake" in words for words in said)


def test_what_only_stands_in_a_file_is_not_repeated():
    assert name_of("=HYPERLINK(1)", find_question("03.peak")) == "another mistake"


# --- words and tables -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("gain", "words"), [(1.0, "1.00"), (-0.6, "−0.60"), (None, "not defined"), (-0.001, "0.00")]
)
def test_a_gain_in_words(gain, words):
    assert signed(gain) == words


def read(content):
    return list(csv.DictReader(io.StringIO(content.decode("utf-8-sig"), newline="")))


def test_the_tables_hold_what_was_counted():
    result = review(invented_class())
    ideas, questions = read(ideas_csv(result)), read(questions_csv(result))
    assert [row["idea"] for row in ideas] == [idea.name for idea in SURVEY.ideas]
    for row, tally in zip(ideas, result.ideas, strict=True):
        assert float(row["normalized gain"]) == pytest.approx(tally.gain, abs=6e-4)
        assert int(row["right after"]) == tally.after.part
    assert [int(row["missed at first"]) for row in questions] == [
        tally.missed.part for tally in result.questions
    ]


def test_a_table_where_no_gain_is_defined_leaves_it_empty():
    (row, *_) = read(ideas_csv(review([learner(RIGHT_ANSWERS, RIGHT_ANSWERS)])))
    assert (row["right before"], row["normalized gain"]) == ("1", "")


def test_no_cell_is_a_formula(monkeypatch):
    monkeypatch.setattr("recoverykit.classroom.review.name_of", lambda *_: "=1+1")
    result = review([[answer("03.peak", "mass for force")]])
    assert read(questions_csv(result))[0]["commonest mistake"] == "'=1+1"
    for content in (ideas_csv(result), questions_csv(review(invented_class()))):
        for row in csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")):
            assert not any(cell.startswith(("=", "+", "@", "\t")) for cell in row)


# --- the invented class -----------------------------------------------------------------


def test_the_invented_class_is_always_the_same():
    assert invented_class() == invented_class()
    assert invented_class() != invented_class(seed=9)
    result = review(invented_class())
    assert (result.learners, result.both) == (18, 17)
    assert 0.2 < result.gain < 0.8
