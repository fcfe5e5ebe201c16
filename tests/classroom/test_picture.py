"""The picture of a class: all on the paper, arrows where something changed, and no names."""

import pytest
from helpers.paper import cut_off, overlapping, written

from recoverykit.classroom.picture import MOST_MISSED, ClassReviewPicture
from recoverykit.classroom.review import name_of, review
from recoverykit.classroom.sample_class import invented_class
from recoverykit.course.progress import Entry
from recoverykit.course.questions import COMMITTED, ChoiceQuestion
from recoverykit.course.survey import AFTER, BEFORE, ENTRY_IDS, UNSURE
from recoverykit.lessons.bank import LESSONS
from recoverykit.lessons.ideas import SURVEY

RIGHT_ANSWERS = {idea.id: idea.right for idea in SURVEY.ideas}
UNSURES = dict.fromkeys(RIGHT_ANSWERS, UNSURE)


def survey(occasion, chosen):
    return Entry(ENTRY_IDS[occasion], chosen, COMMITTED, 0, "2026-01-01T00:00:00+00:00")


def drawn(result):
    picture = ClassReviewPicture()
    picture.update(result)
    picture.png()
    return picture


def says(picture):
    titles = [axes.get_title(loc="left") for axes in picture.figure.axes]
    return [*titles, *(text.get_text() for text in written(picture.figure))]


CLASSES = {
    "invented": invented_class(),
    "before only": [entries[:-1] for entries in invented_class()],
    "one learner": invented_class(size=2)[:1],
    "nobody": [],
    "all lost": [[survey(BEFORE, RIGHT_ANSWERS), survey(AFTER, UNSURES)]],
    "all won": [[survey(BEFORE, UNSURES), survey(AFTER, RIGHT_ANSWERS)]],
}


@pytest.mark.parametrize("class_", CLASSES.values(), ids=CLASSES)
def test_nothing_is_cut_off_or_lies_on_other_words(class_):
    picture = drawn(review(class_))
    assert cut_off(picture.figure) == []
    assert overlapping(written(picture.figure)) == []
    for axes in picture.figure.axes:
        box = axes._left_title.get_window_extent()
        assert 0 <= box.x0 < box.x1 <= picture.figure.bbox.width


def test_the_longest_mistakes_of_the_bank_fit_in_their_rows():
    longest = {}
    for question in (question for bank in LESSONS.values() for question in bank.QUESTIONS):
        choices = isinstance(question, ChoiceQuestion)
        for verdict in question.options if choices else question.mistakes:
            longest[question.id, verdict] = len(name_of(verdict, question))
    worst = dict(sorted(longest, key=longest.get)[-MOST_MISSED:])
    entries = [
        Entry(id, {}, verdict, 0, "2026-01-01T00:00:00+00:00") for id, verdict in worst.items()
    ]
    picture = drawn(review([entries]))
    assert cut_off(picture.figure) == []
    assert overlapping(picture._questions.texts) == []


@pytest.mark.parametrize(("class_", "arrows"), [("all won", 10), ("all lost", 10), ("nobody", 0)])
def test_an_arrow_stands_for_a_change(class_, arrows):
    picture = drawn(review(CLASSES[class_]))
    found = [text for text in picture._ideas.texts if getattr(text, "arrow_patch", None)]
    assert len(found) == arrows
    styles = {text.arrow_patch.get_linestyle() for text in found}
    assert styles == {"all won": {"-"}, "all lost": {"--"}, "nobody": set()}[class_]


def test_an_undefined_gain_is_not_a_number():
    assert says(drawn(review(CLASSES["all lost"]))).count("–") == 10


def test_it_says_whom_it_shows_and_that_a_class_is_invented():
    assert "no learner yet" in says(drawn(review([])))
    invented = drawn(review(invented_class(), "invented class"))
    assert says(invented)[0] == "Invented class: ○ before the course, ● after it (17 learners)"
