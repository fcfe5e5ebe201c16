"""The survey and the name on the page, driven as a learner and a browser would."""

import html

import ipywidgets
import pytest
from helpers.widget_tree import click, page, send, widgets

from recoverykit import InputError
from recoverykit.course import progress
from recoverykit.course.survey import ENTRY_IDS, UNSURE
from recoverykit.lessons import ask, ask_name, ask_survey
from recoverykit.lessons.ideas import SURVEY

pytestmark = pytest.mark.usefixtures("in_new_kernel")

ALL_RIGHT = {idea.id: idea.right for idea in SURVEY.ideas}
ALL_UNSURE = dict.fromkeys(ALL_RIGHT, UNSURE)


def groups(view):
    return widgets(view, ipywidgets.RadioButtons)


def pick(group, name):
    """What the browser sends when a learner picks one of several answers."""
    send(group, index=[value for _, value in group.options].index(name))


def keep(view):
    click(view, "Keep my answers")


def kept(occasion):
    return [e for e in progress.current().entries() if e.id == ENTRY_IDS[occasion]]


def fill_in(view, chosen):
    for group, name in zip(groups(view), chosen.values(), strict=True):
        pick(group, name)


# --- the first time ---------------------------------------------------------------------


def test_every_idea_is_asked_with_a_way_out():
    view = ask_survey("before")
    assert len(groups(view)) == len(SURVEY.ideas)
    for group, idea in zip(groups(view), SURVEY.ideas, strict=True):
        assert group.description == idea.name
        assert group.value is None
        assert group.options[-1][0] == "I don't know."
        assert html.escape(idea.text) in page(view)


def test_answers_are_kept_as_one_entry_and_closed():
    view = ask_survey("before")
    fill_in(view, ALL_UNSURE | {"01": "twice"})
    assert kept("before") == [], "choosing alone keeps nothing"
    keep(view)
    (entry,) = kept("before")
    assert (entry.typed, entry.verdict) == (ALL_UNSURE | {"01": "twice"}, "committed")
    assert all(w.disabled for w in (*groups(view), *widgets(view, ipywidgets.Button)))


def test_no_verdict_is_given_the_first_time():
    said = []
    for chosen in (ALL_RIGHT, ALL_UNSURE):
        progress.use_learner(f"learner {len(said)}")
        view = ask_survey("before")
        fill_in(view, chosen)
        keep(view)
        said.append(page(view))
        assert "<table" not in page(view)
    assert said[0] == said[1]
    assert "asks the same again" in said[0]


def test_what_is_missing_is_said_and_the_rest_is_kept(in_new_kernel):
    view = ask_survey("before")
    keep(view)
    assert kept("before") == []
    assert view.sentence.startswith("Not yet answered: 1, 2, 3")
    pick(groups(view)[2], "four")
    keep(view)
    assert view.sentence.startswith("Not yet answered: 1, 2, 4")
    in_new_kernel()
    again = ask_survey("before")
    assert [group.value for group in groups(again)] == [None, None, "four", *[None] * 7]
    fill_in(again, ALL_RIGHT)
    keep(again)
    assert [entry.verdict for entry in kept("before")] == ["incomplete", "committed"]


def test_kept_answers_are_there_after_a_restart(in_new_kernel):
    view = ask_survey("before")
    fill_in(view, ALL_RIGHT)
    keep(view)
    in_new_kernel()
    again = ask_survey("before")
    assert {i.id: g.value for i, g in zip(SURVEY.ideas, groups(again), strict=True)} == ALL_RIGHT
    assert all(group.disabled for group in groups(again))
    assert again.sentence == view.sentence
    assert len(kept("before")) == 1


# --- the second time --------------------------------------------------------------------


def survey_twice(before, after):
    for occasion, chosen in (("before", before), ("after", after)):
        view = ask_survey(occasion)
        if chosen is not None:
            fill_in(view, chosen)
            keep(view)
    return view


def test_the_second_time_shows_what_has_changed(in_new_kernel):
    view = survey_twice(
        ALL_UNSURE | {"01": "twice", "05": "unknown", "06": "reduce"}, ALL_RIGHT | {"06": "faster"}
    )
    assert view.sentence == (
        "Your answers are kept. You now have 9 of 10 ideas right. Before the course it was 2."
    )
    table = page(view)
    assert table.count("<tr>") == len(SURVEY.ideas) + 1
    assert table.count("✓ right now") == 8
    assert table.count("✓ right both times") == 1
    assert table.count("✗ no longer right") == 1
    in_new_kernel()
    assert page(ask_survey("after")) == page(view)


def test_nothing_is_given_away_before_the_second_answers_are_kept():
    view = survey_twice(ALL_UNSURE, None)
    fill_in(view, ALL_RIGHT)
    assert "<table" not in page(view)
    assert SURVEY.ideas[0].explained not in page(view)


def test_the_second_survey_alone_says_that_there_was_no_first():
    view = ask_survey("after")
    fill_in(view, ALL_RIGHT)
    keep(view)
    assert page(view).count("(not asked)") == len(SURVEY.ideas)
    assert "Before the course" not in view.sentence


@pytest.mark.parametrize("occasion", ["during", "", None])
def test_there_are_two_occasions(occasion):
    with pytest.raises(InputError, match='write "before" or "after"'):
        ask_survey(occasion)


# --- names ------------------------------------------------------------------------------


def test_without_a_name_it_says_where_answers_are():
    view = ask_name()
    assert view.sentence == "Answers are kept without a name, in the file progress/learner.json."


def test_a_name_is_used_at_once_and_after_a_restart(in_new_kernel):
    name, question = ask_name(), ask("00.reading")
    question.answer("1 kN")
    name.name("  Ann ")
    assert name.sentence == "Answers are kept under the name Ann, in the file progress/ann.json."
    assert question.sentence == ""
    in_new_kernel()
    assert "under the name Ann" in ask_name().sentence


@pytest.mark.parametrize("name", ["Ann", "ann", "ANN", "\uff21nn"])  # the last with a wide A
def test_a_name_that_has_answers_already_is_pointed_out(in_new_kernel, name):
    view = ask_name()
    view.name("Ann")
    assert "already" not in view.sentence
    ask("00.reading").answer("1 kN")
    in_new_kernel()
    assert "already" not in ask_name().sentence, "nobody has just chosen a name"
    view = ask_name()
    view.name("Ben")
    assert "already" not in view.sentence
    view.name(name)
    assert view.sentence.endswith(
        "There are answers under this name already. If they aren't yours, pick another name."
    )
    assert progress.current().latest("00.reading").typed == {"answer": "1 kN"}


@pytest.mark.parametrize("bad", ["", "   ", "x" * 61])
def test_a_useless_name_is_said_and_changes_nothing(bad):
    view = ask_name()
    view.name("Ann")
    view.name(bad)
    assert view.sentence.startswith("Your answers are kept as before: the name")
    assert progress.current().learner == "Ann"
