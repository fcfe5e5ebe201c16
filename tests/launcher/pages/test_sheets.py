"""Guesses, questions and the survey, as an exported page judges them: as the library does."""

import functools
import itertools

import pytest

from launcher.pages import sheets
from recoverykit.course.progress import Progress
from recoverykit.course.question_view import QuestionView
from recoverykit.course.questions import NumericQuestion, QuestionInstance
from recoverykit.course.survey import AFTER
from recoverykit.lessons.bank import LESSONS
from recoverykit.lessons.ideas import SURVEY
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import KINDS, METRIC, SYSTEMS, US, Q, brief, display

QUESTIONS = [question for lesson in LESSONS.values() for question in lesson.QUESTIONS]
NUMERIC = [question for question in QUESTIONS if isinstance(question, NumericQuestion)]
each_question = pytest.mark.parametrize("question", QUESTIONS, ids=lambda each: each.id)
each_numeric = pytest.mark.parametrize("question", NUMERIC, ids=lambda each: each.id)
each_system = pytest.mark.parametrize("system", SYSTEMS)


@pytest.fixture(autouse=True)
def system_as_before(monkeypatch):
    monkeypatch.setattr(display, "system", METRIC)  # without a signal, which panels would follow


@functools.cache
def on_page(id: str, _system) -> dict:
    """A question as data, in the display system in force, which is given to be remembered by."""
    return sheets.question(id)


def said_to(ranges, value: float, typed: str) -> tuple[str, str]:
    """What the page says to a number in SI units."""
    verdict, sentence = next(said for end, *said in ranges if end is None or value <= end)
    return verdict, sentence.replace("{typed}", typed)


def answers(instance: QuestionInstance):
    """Numbers in SI units: right, mistaken, and at all sizes around these."""
    question, numbers = instance.question, instance.numbers
    si = KINDS[question.kind].si
    right = question.right(numbers).m_as(si)
    mistakes = [each.of(numbers).m_as(si) for each in question.mistakes.values()]
    parts = (0.0047, 0.0213, 0.53, 0.79, 0.903, 0.949, 0.951, 0.989, 1, 1.0097, 1.011, 2.17, 153)
    return [part * value for part in parts for value in (right, *mistakes)]


@each_system
@each_numeric
def test_a_number_gets_the_reply_that_the_course_gives(question, system):
    display.system = SYSTEMS[system]
    with_numbers = list(enumerate(on_page(question.id, display.system)["asked"]))
    for seed, asked in (with_numbers[0], with_numbers[-1]):
        instance = QuestionInstance(question, seed)
        for value in answers(instance):
            metric = Q(value, KINDS[question.kind].si).m_as(METRIC.unit(question.kind))
            typed = f"{metric:.9f} {METRIC.symbol(question.kind)}"
            expected = instance.check(typed)
            read = Q(float(f"{metric:.9f}"), METRIC.unit(question.kind))
            shown = typed if expected.verdict == "unreadable" else brief(read, question.kind)
            found = said_to(asked["ranges"], value, shown)
            assert found == (expected.verdict, expected.sentence)


@each_numeric
def test_right_mistaken_and_far_off_are_all_among_the_replies(question):
    for asked in on_page(question.id, display.system)["asked"]:
        verdicts = {verdict for _, verdict, _ in asked["ranges"]}
        assert {"right", "far off"} <= verdicts
        assert verdicts & set(question.mistakes)


@each_numeric
def test_a_unit_of_another_kind_gets_the_reply_that_the_course_gives(question):
    data = on_page(question.id, display.system)
    assert data["others"]
    last = QuestionInstance(question, len(data["asked"]) - 1)
    for unit, reply in data["others"].items():
        expected = last.check(f"1 {unit}")
        assert reply == [expected.verdict, expected.sentence]
        assert expected.verdict != "right"


@each_system
@each_question
def test_text_and_hints_are_those_of_the_course(question, system, tmp_path):
    display.system = SYSTEMS[system]
    view = QuestionView(question, Progress(folder=tmp_path))
    asked = on_page(question.id, display.system)["asked"]
    assert len(asked) == min(sheets.SEEDS, question.variants)
    assert asked[0]["text"] == view.text
    assert len(asked[0]["hints"]) == len(question.hints)
    if len(asked) > 1:
        view.ask_again()
        assert asked[1]["text"] == view.text


@each_question
def test_every_choice_has_its_reply_and_one_is_right(question):
    for asked in on_page(question.id, display.system)["asked"]:
        if "replies" in asked:
            assert asked["replies"].keys() == asked["field"]["options"].keys()
            assert [verdict for verdict, _ in asked["replies"].values()].count("right") == 1


@pytest.mark.parametrize("kind", sheets.all_units())
def test_units_are_as_large_as_the_course_reads_them(kind):
    units = {each["unit"]: each["size"] for each in sheets.units(kind)}
    for system in SYSTEMS.values():
        symbol = system.symbol(kind)
        assert units[symbol] == read_quantity(f"1 {symbol}", kind).quantity.m_as(KINDS[kind].si)
    assert None in units.values()


def test_the_first_unit_is_of_the_system_in_force():
    assert sheets.units("force")[0]["unit"] == "kN"
    display.system = US
    assert sheets.units("force")[0]["unit"] == "lbf"


def test_the_survey_says_what_the_course_says():
    data = sheets.survey(AFTER)
    assert data["right"] == {idea.id: idea.right for idea in SURVEY.ideas}
    assert data["summaries"][3][7].endswith(
        "You now have 7 of 10 ideas right. Before the course it was 3."
    )
    assert data["summaries"][-1][10] == "You now have 10 of 10 ideas right."
    assert "{missing}" in data["missing"]
    words = [data["words"][f"{a}, {b}"] for a, b in itertools.product(("true", "false"), repeat=2)]
    assert words == ["right both times", "no longer right", "right now", "not yet right"]
