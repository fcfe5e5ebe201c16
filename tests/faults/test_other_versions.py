"""Progress that an older or a newer course has written, in every place that reads it.

There is one version of the format so far. What grows old is what stands in it: questions, options
and fields that the course no longer has.
"""

import json

import pytest

from recoverykit.classroom.class_files import read_class
from recoverykit.classroom.review import ideas_csv, questions_csv, review
from recoverykit.course import progress
from recoverykit.course.progress import Progress
from recoverykit.lessons import PlanPanel, ask, ask_line, ask_name, ask_survey, guess
from recoverykit.lessons.bank import LESSONS

QUESTIONS = [question.id for bank in LESSONS.values() for question in bank.QUESTIONS]
GUESSES = [f"{lesson}.guess" for lesson in LESSONS if lesson != "00"]
OTHERS = ["00.survey", "10.survey", "10.line", "99.gone"]

TYPED = {
    "an option that is gone": {"answer": "thrice"},
    "a field that is gone": {"effort": "38 kN"},
    "nothing": {},
    "ideas and answers that are gone": {"01": "gone", "99": "x"},
    "names in braces": {"answer": "{peak} {0} {answer.__class__}"},
}


@pytest.fixture
def kept(tmp_path, monkeypatch):
    """A function that puts entries into the learner's file, and gives the file."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(progress, "_current", [])

    def put(entries, **changes):
        document = {"format": "recoverykit progress", "version": 1, "learner": "learner"}
        path = tmp_path / "progress" / "learner.json"
        path.parent.mkdir()
        path.write_text(json.dumps(document | {"entries": entries} | changes))
        return path

    return put


def entry(id, typed, seed):
    return {"id": id, "typed": typed, "verdict": "a word of then", "seed": seed, "time": "2019"}


@pytest.mark.parametrize(
    ("typed", "seed"), zip(TYPED.values(), (0, -7, 10**30, 0, -7), strict=True), ids=TYPED.keys()
)
def test_answers_of_an_older_course_open_in_every_lesson(kept, typed, seed):
    entries = [entry(id, typed, seed) for id in QUESTIONS + GUESSES + OTHERS]
    path = kept(entries)
    views = [*map(ask, QUESTIONS), *map(guess, GUESSES), ask_name()]
    views += [ask_survey("before"), ask_survey("after"), ask_line(PlanPanel())]
    assert all(view.text for view in views)
    ask("03.peak").answer("1 kN")
    assert progress.current().take_notice() == ""
    after = json.loads(path.read_text())["entries"]
    older = [{**each, "units": ""} for each in entries]  # which no older course wrote
    assert after[:-1] == older, "what is not understood is kept all the same"
    assert after[-1]["typed"] == {"answer": "1 kN"}


@pytest.mark.parametrize("typed", TYPED.values(), ids=TYPED.keys())
def test_answers_of_an_older_course_do_not_stop_a_class_review(kept, typed, tmp_path):
    kept([entry(id, typed, 0) for id in QUESTIONS + GUESSES + OTHERS])
    found = read_class(tmp_path)
    assert (len(found.learners), found.left_out) == (1, {})
    result = review(found.learners.values())
    assert b"a word of then" not in ideas_csv(result) + questions_csv(result)
    assert result.summary.startswith("1 learner")


def test_a_newer_file_is_told_on_the_page_and_left_alone(kept, tmp_path):
    path = kept("another shape", version=2)
    before = path.read_bytes()
    question = ask("03.peak")
    assert "newer version of this course" in question.sentence
    assert "stays as it is" in question.sentence
    question.answer("1 kN")
    assert question.sentence.startswith("1 kN is")
    assert "keep your answers under another name" in question.sentence
    assert path.read_bytes() == before
    assert [other.name for other in tmp_path.glob("progress/*.json")] == ["learner.json"]

    ask_name().name("Ann")  # as it says
    ask("03.peak").answer("2 kN")
    assert [entry.typed["answer"] for entry in Progress("Ann").entries()] == ["2 kN"]


def test_a_newer_file_is_left_out_of_a_class_review_with_its_reason(kept, tmp_path):
    kept("another shape", version=2)
    found = read_class(tmp_path)
    assert found.learners == {}
    assert "newer version" in found.left_out["progress/learner.json"]
