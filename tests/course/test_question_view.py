"""Guesses and questions on the page, driven without a kernel as a learner and a browser would."""

import errno
import html
import os

import ipywidgets
import pytest
from helpers.widget_tree import click, page, send, widgets

from recoverykit import Q, display
from recoverykit.course import progress
from recoverykit.lessons import PeakForcePanel, ask, ask_name, ask_survey, guess
from recoverykit.lessons.bank import LESSONS

pytestmark = pytest.mark.usefixtures("in_new_kernel")


def type_and_enter(view, text, box=0):
    """What the browser sends when a learner types and presses Enter."""
    send(widgets(view, ipywidgets.Text)[box], value=text)


def choose(view, index):
    """What the browser sends when a learner picks one of several answers."""
    send(widgets(view, ipywidgets.RadioButtons)[0], index=index)


def kept(id):
    return [entry for entry in progress.current().entries() if entry.id == id]


# --- questions --------------------------------------------------------------------------


@pytest.fixture
def standing_start():
    """2 × 4 kN is right."""
    view = ask("03.standing-start")
    assert "pull with 4 kN" in page(view).replace("\N{NO-BREAK SPACE}", " ")
    return view


def test_enter_checks_an_answer_and_keeps_it(standing_start):
    type_and_enter(standing_start, "8 kN")
    assert "Right: 8" in page(standing_start)
    assert 'role="status"' in page(standing_start), "it is read out"
    (entry,) = kept("03.standing-start")
    assert (entry.typed, entry.verdict, entry.seed) == ({"answer": "8 kN"}, "right", 0)


def test_the_button_after_enter_does_not_count_twice(standing_start):
    type_and_enter(standing_start, "4 kN")
    click(standing_start, "Check")
    assert [entry.verdict for entry in kept("03.standing-start")] == ["load put on gently"]
    type_and_enter(standing_start, "8 kN")
    assert len(kept("03.standing-start")) == 2


def test_how_a_unit_is_read_is_told_once_to_each_learner(standing_start):
    said = []
    for typed in ("900 lb", "950 lb", "8.500 lb", "8.500 lbf"):
        type_and_enter(standing_start, typed)
        said.append(standing_start.sentence.partition(" (")[2])
    number = "8.500 is read as 8.5, not as 8500.)"
    assert said == ["Pounds are read as pounds-force (lbf).)", "", number, number]
    progress.use_learner("Ann")
    type_and_enter(standing_start, "900 lb")
    assert "Pounds are read" in standing_start.sentence


def test_an_empty_answer_is_asked_for_and_not_kept(standing_start):
    empty = 'Nothing was written; write for example "38 kN" or "8500 lbf".'
    click(standing_start, "Check")
    assert standing_start.sentence == empty
    type_and_enter(standing_start, "4 kN")
    type_and_enter(standing_start, "")
    assert standing_start.sentence == empty
    assert [entry.typed for entry in standing_start._progress.entries()] == [{"answer": "4 kN"}]
    standing_start.ask_again()
    assert standing_start.sentence == ""


def test_what_cannot_be_read_stays_in_the_box(standing_start):
    type_and_enter(standing_start, "8 <b>kilos</b>")
    assert widgets(standing_start, ipywidgets.Text)[0].value == "8 <b>kilos</b>"
    assert "<b>kilos" not in page(standing_start), "escaped"
    assert kept("03.standing-start")[0].verdict == "unreadable"


def test_a_choice_is_checked_by_the_button_only():
    view = ask("03.heavier")
    click(view, "Check")
    assert view.sentence == "Choose one of the answers first."
    choose(view, 0)
    choose(view, 2)
    assert kept("03.heavier") == []
    click(view, "Check")
    assert "Right." in view.sentence
    assert [entry.typed for entry in kept("03.heavier")] == [{"answer": "root"}]


@pytest.mark.parametrize("id", [q.id for lesson in LESSONS.values() for q in lesson.QUESTIONS])
def test_every_question_is_answered_after_a_restart(id, in_new_kernel):
    view = ask(id)
    click(view, "New numbers")
    view.answer(view.instance.right_answer)
    assert view.sentence.startswith("Right")
    in_new_kernel()
    again = ask(id)
    assert (again.text, again.sentence) == (view.text, view.sentence)
    assert again.instance.seed == 1
    assert len(kept(id)) == 1, "looking again is no new answer"


def test_new_numbers_start_afresh(standing_start):
    type_and_enter(standing_start, "4 kN")
    click(standing_start, "Hint")
    before = standing_start.text
    click(standing_start, "New numbers")
    assert standing_start.text != before
    assert widgets(standing_start, ipywidgets.Text)[0].value == ""
    assert standing_start.sentence == ""
    assert "Hint:" not in page(standing_start)
    type_and_enter(standing_start, standing_start.instance.right_answer)
    assert kept("03.standing-start")[-1].seed == 1


def test_hints_come_one_by_one(standing_start):
    hints = len(standing_start.instance.question.hints)
    for number in range(1, hints + 2):
        click(standing_start, "Hint")
        assert page(standing_start).count("Hint:") == min(number, hints)


def test_everything_follows_the_units(standing_start):
    type_and_enter(standing_start, "8 kN")
    click(standing_start, "Hint")
    display.use("US")
    assert "pull with 900 lbf" in standing_start.text
    assert "kN" not in page(standing_start)
    type_and_enter(standing_start, "1800 lbf")
    assert standing_start.sentence.startswith("Right: 1,800 lbf")
    assert [entry.units for entry in kept("03.standing-start")] == ["metric", "US"]


def test_an_answer_stays_with_the_numbers_that_it_was_given_for(standing_start, in_new_kernel):
    type_and_enter(standing_start, "4 kN")
    before = page(standing_start)
    display.use("US")
    assert (standing_start.sentence, standing_start._box.typed) == ("", "")
    type_and_enter(standing_start, "1800 lbf")
    display.use("metric")
    assert (page(standing_start), standing_start._box.typed) == (before, "4 kN")
    in_new_kernel()
    again = ask("03.standing-start")
    assert (again._box.typed, again.sentence) == ("4 kN", standing_start.sentence)
    display.use("US")
    assert again.sentence.startswith("Right: 1,800 lbf")
    assert len(kept("03.standing-start")) == 2


def test_an_answer_of_an_older_course_is_not_judged_by_other_numbers(standing_start):
    book = progress.current()
    type_and_enter(standing_start, "8 kN")
    older = book.path.read_text().replace(',\n   "units": "metric"', "")
    assert "units" not in older
    book.path.write_text(older)
    again = ask("03.standing-start")
    assert (again.sentence, again._box.typed) == ("", "")
    assert [entry.verdict for entry in kept("03.standing-start")] == ["right"]


def test_a_choice_holds_in_both_systems():
    choice = ask("03.heavier")
    choose(choice, 2)
    click(choice, "Check")
    display.use("US")
    radio = widgets(choice, ipywidgets.RadioButtons)[0]
    assert "lbf" in radio.options[2][0]
    assert radio.value == "root", "still chosen"
    assert choice.sentence.startswith("Right.")
    assert len(kept("03.heavier")) == 1


def test_a_full_disk_is_told_beside_the_reply(standing_start, monkeypatch):
    def disk_full(*_):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", disk_full)
    type_and_enter(standing_start, "8 kN")
    assert standing_start.sentence.startswith("Right: 8 kN.")
    assert "could not be kept on disk (No space left on device)" in standing_start.sentence
    assert widgets(standing_start, ipywidgets.Text)[0].value == "8 kN"


def test_a_damaged_file_is_told_on_the_page(tmp_path):
    (tmp_path / "progress").mkdir()
    (tmp_path / "progress" / "learner.json").write_text("damaged")
    view = ask("03.peak")
    assert "kept as learner.damaged-1.json" in page(view)
    assert "damaged" not in page(ask("03.faster")), "told once"


def test_an_answer_that_is_no_longer_among_the_options_is_dropped():
    progress.current().record("03.heavier", {"answer": "vanished"}, "vanished")
    view = ask("03.heavier")
    assert widgets(view, ipywidgets.RadioButtons)[0].value is None


# --- guesses ----------------------------------------------------------------------------


def fill_in_guess(view, middle="27 kN", fast="110 kN"):
    type_and_enter(view, middle, box=0)
    type_and_enter(view, fast, box=1)


def buttons(view):
    return [(b.description, b.disabled) for b in widgets(view, ipywidgets.Button)]


def verdicts(id):
    return [entry.verdict for entry in kept(id)]


def test_a_guess_is_kept_and_closed_when_the_answer_is_shown(in_new_kernel):
    view = guess("03.guess")
    assert buttons(view) == [("Keep my guess", False), ("Show without a guess", False)]
    fill_in_guess(view)
    assert kept("03.guess") == [], "Enter alone keeps nothing"
    click(view, "Keep my guess")
    assert "Your guess is kept." in page(view)
    assert not view.guess.committed
    assert buttons(view) == [("Change my guess", False), ("Show the answer", False)]
    click(view, "Show the answer")
    assert view.sentence == "Your guess is locked in."
    assert [(entry.typed, entry.verdict) for entry in kept("03.guess")] == [
        ({"middle_peak": "27 kN", "fast_peak": "110 kN"}, verdict)
        for verdict in ("kept", "committed")
    ]
    assert view.guess.values == {"middle_peak": Q(27, "kN"), "fast_peak": Q(110, "kN")}
    in_new_kernel()
    again = guess("03.guess")
    assert again.guess.values == view.guess.values
    assert page(again) == page(view)
    for each in (view, again):
        assert buttons(each) == [("Keep my guess", True), ("Show the answer", True)]
        boxes = [(box.value, box.disabled) for box in widgets(each, ipywidgets.Text)]
        assert boxes == [("27 kN", True), ("110 kN", True)]
    assert verdicts("03.guess") == ["kept", "committed"], "looking again is no new guess"


@pytest.mark.parametrize("restarted", [False, True])
def test_a_guess_can_be_changed_until_the_answer_is_shown(in_new_kernel, restarted):
    view = guess("03.guess")
    fill_in_guess(view)
    click(view, "Keep my guess")
    if restarted:
        in_new_kernel()
        view = guess("03.guess")
        assert view.sentence.startswith("Your guess is kept.")
    panel = PeakForcePanel(guess=view.guess)
    assert panel.summary.startswith("Write down your guess first")
    assert all(box.disabled for box in widgets(view, ipywidgets.Text))
    click(view, "Change my guess")
    assert not any(box.disabled for box in widgets(view, ipywidgets.Text))
    type_and_enter(view, "90 kN", box=1)
    click(view, "Keep my guess")
    click(view, "Show the answer")
    assert "the line sees" in panel.summary
    assert view.guess.values["fast_peak"] == Q(90, "kN")
    assert verdicts("03.guess") == ["kept", "kept", "committed"], "the first one stays on record"
    assert kept("03.guess")[-1].typed["fast_peak"] == "90 kN"


def test_a_guess_that_was_taken_back_does_not_count():
    view = guess("03.guess")
    fill_in_guess(view)
    click(view, "Keep my guess")
    click(view, "Change my guess")
    click(view, "Show without a guess")
    assert (view.guess.committed, view.guess.values) == (True, {})
    assert verdicts("03.guess") == ["kept", "skipped"]
    assert kept("03.guess")[-1].typed == {}


@pytest.mark.parametrize("first", ["Keep my guess", "Show without a guess"])
@pytest.mark.parametrize("second", ["keep", "show"])
def test_a_guess_that_is_fixed_is_not_kept_a_second_time(in_new_kernel, first, second):
    view = guess("03.guess")
    fill_in_guess(view)
    click(view, first)
    view.show()
    assert all(box.disabled for box in widgets(view, ipywidgets.Text))
    before = kept("03.guess"), view.guess.values
    # A click that the browser sent before it heard that the buttons are off.
    view.fill_in(fast_peak="20 kN")
    getattr(view, second)()
    assert (kept("03.guess"), view.guess.values) == before
    assert view.sentence == "Your guess is locked in."
    in_new_kernel()
    again = guess("03.guess").guess
    assert (again.committed, again.values) == (True, view.guess.values)


def test_a_guess_that_cannot_be_read_stays_open(in_new_kernel):
    view = guess("03.guess")
    fill_in_guess(view, fast="110")
    click(view, "Keep my guess")
    assert view.sentence.startswith("Peak at 8 km/h: the unit is missing")
    assert not view.guess.committed
    in_new_kernel()
    again = guess("03.guess")
    assert [box.value for box in widgets(again, ipywidgets.Text)] == ["27 kN", "110"]
    type_and_enter(again, "110 kN", box=1)
    click(again, "Keep my guess")
    click(again, "Show the answer")
    assert again.guess.committed


def test_labels_follow_the_units():
    view = guess("03.guess")
    display.use("US")
    assert [box.description for box in widgets(view, ipywidgets.Text)] == [
        "Peak at 3 mph",
        "Peak at 6 mph",
    ]
    assert "lbf" in page(view)


# --- readers without a kernel, and readers who listen -----------------------------------


@pytest.mark.parametrize(
    "make",
    [lambda: ask("03.peak"), lambda: guess("03.guess"), lambda: ask_survey("before"), ask_name],
    ids=["question", "guess", "survey", "name"],
)
def test_the_text_is_there_without_a_kernel(make):
    view = make()
    bundle = view._repr_mimebundle_()
    assert bundle["text/plain"] == view.text
    assert "application/vnd.jupyter.widget-view+json" in bundle
    said = html.unescape(bundle["text/html"]).replace("\N{NO-BREAK SPACE}", " ")
    assert view.text[:40] in said


def test_every_box_and_button_says_what_it_is():
    for view in (ask("03.peak"), ask("03.heavier"), guess("03.guess")):
        for widget in widgets(view, (ipywidgets.Text, ipywidgets.RadioButtons, ipywidgets.Button)):
            assert widget.description
