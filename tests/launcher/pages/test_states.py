"""The states of a panel, as an exported page shows them."""

import itertools

import numpy as np
import pytest
from helpers.few_states import CELLS, few_states
from helpers.tiled import whole

from launcher.pages import live, states, tiles
from recoverykit.lessons import (
    ExtrapolationPanel,
    MeasuredPullsPanel,
    PeakForcePanel,
    PullInTimePanel,
)
from recoverykit.units.quantities import METRIC, SYSTEMS, Q, display

each_panel = pytest.mark.parametrize("cell", CELLS.values(), ids=list(CELLS))
each_system = pytest.mark.parametrize("system", SYSTEMS)


@pytest.fixture(autouse=True)
def system_as_before(monkeypatch):
    monkeypatch.setattr(display, "system", METRIC)  # without a signal, which panels would follow


@each_system
@each_panel
def test_what_moves_starts_where_the_panel_does_and_stays_within_its_limits(cell, system):
    display.system = SYSTEMS[system]
    panel = live.panel_of(cell)
    for control, (_, most) in zip(states.controls(panel), panel.precomputed, strict=True):
        assert 2 <= len(control.values) <= most
        starts = panel.values | {each.name: each.start for each in panel.on_pages}
        assert control.values[control.start] == starts[control.input.name]
        assert len(set(control.texts)) == len(control.texts)
        for value in control.values:
            control.input.check(value)


def test_a_slider_moves_in_even_steps_between_its_ends():
    (speed, _) = states.controls(PeakForcePanel())
    assert speed.texts[:3] == ["0 km/h", "1 km/h", "2 km/h"]
    assert speed.texts[-1] == "25 km/h"


def test_what_a_task_asks_of_an_input_that_stays_is_a_state_of_its_own(monkeypatch):
    monkeypatch.setattr(PeakForcePanel, "precomputed", (("speed", 5),))
    found, panel = states.states_of(PeakForcePanel()), PeakForcePanel()
    (shown,) = found["tasks"][2]["shown"]
    assert shown["text"] == "Stretch at break: 15 %"
    panel.set(stretch=Q(15, "percent"))
    assert found["sentences"][shown["state"]] == panel.summary
    assert [len(task["shown"]) for task in found["tasks"]] == [0, 1, 1, 1, 0, 0]


def test_what_stays_is_told():
    assert states.fixed_in_words(PeakForcePanel()).startswith("Stretch at break: 30 %; Rope length")


@each_system
@each_panel
def test_a_state_is_that_of_a_panel_set_to_it(cell, system, monkeypatch):
    monkeypatch.setattr(tiles, "with_few_colors", lambda colors: colors)  # tested below
    few_states(monkeypatch, [cell], most=3)
    display.system = SYSTEMS[system]
    panel = live.panel_of(cell)
    settings = all_settings(panel)
    looked_at = [len(settings) // 2, len(settings) - 1]
    calls, drawn = itertools.count(), states.drawn

    def drawn_at_times(*state):
        return drawn(*state) if next(calls) // 2 in looked_at else ()

    monkeypatch.setattr(states, "drawn", drawn_at_times)
    found = states.states_of(live.panel_of(cell))
    assert len(found["sentences"]) == len(settings)
    assert_tasks_are_done_as_in_the_course(panel, found["tasks"], settings)
    reached = {
        task.reached: as_data["steps"][0]
        for task, as_data in zip(panel.tasks, found["tasks"], strict=True)
        if task.reached
    }
    edges = {place for numbers in reached.values() for place in (numbers[0] - 1, numbers[0])}
    shown = dict.fromkeys(found["pictures"], -1)
    for number in sorted({*looked_at, *edges} - {-1}, reverse=True):
        states.start_again(panel)
        panel.set(**settings[number])
        assert found["sentences"][number] == panel.summary
        for is_reached, numbers in reached.items():
            assert (number in numbers) == is_reached(panel.result)
        for layout, packed in found["pictures"].items() if number in looked_at else ():
            for picture in reversed([each.copy() for each in drawn(panel, layout == "narrow")]):
                assert not apart(whole(packed, shown[layout]), picture)
                shown[layout] -= 1
            assert packed["width"] == panel.picture(layout == "narrow").pixels().shape[1]


def apart(picture, other) -> int:
    """How far colors of two pictures are apart at most; not the pixels, which pytest would tell."""
    return int(np.abs(picture.astype(int) - other).max())


def all_settings(panel):
    """What the states of a page are set to: by its controls, then by its tasks alone."""
    moved = states.controls(panel)[::-1]
    by_controls = [
        {each.input.name: value for each, value in zip(moved, values, strict=True)}
        for values in itertools.product(*(each.values for each in moved))
    ]
    return [*by_controls, *itertools.chain(*states.shown_settings(panel))]


def assert_tasks_are_done_as_in_the_course(panel, tasks, settings):
    """The course ticks a task after the states that tick it on the page, and not before."""
    states.start_again(panel)
    for number, task in enumerate(tasks):
        panel.task_run.go(number - panel.task_run.number)
        for taken in task["steps"]:
            assert not panel.task_run.is_done
            panel.set(**settings[taken[0]])
        assert panel.task_run.is_done


def test_rows_that_look_wrong_can_be_left_out_on_the_page():
    panel = MeasuredPullsPanel()
    (_, left_out) = states.controls(panel)
    assert left_out.input.label == "Leave out rows 4 and 12"
    assert left_out.texts == ["no", "yes"]
    panel.set(**{left_out.input.name: True})
    assert panel.book.session.kept.left_out == (4, 12)
    panel.set(**{left_out.input.name: False})
    assert panel.book.session.kept.left_out == ()


def test_how_far_pulls_carry_is_shown_on_the_page_without_the_rows_that_look_wrong():
    panel = ExtrapolationPanel()
    assert states.fixed_in_words(panel) == "Leave out rows 4 and 12"
    shown = [panel.summary for _ in states.visited(panel)]
    assert shown
    assert not [sentence for sentence in shown if "odd places" in sentence]


@pytest.mark.parametrize("name", ["03-panel", "08-panel"])
def test_pictures_are_packed_with_hardly_a_change_of_their_colors(name, monkeypatch):
    few_states(monkeypatch, [CELLS[name]], most=4)
    made, drawn = [], states.drawn

    def kept(panel, narrow):
        pictures = [each.copy() for each in drawn(panel, narrow)]
        made.extend(pictures if narrow else [])
        return pictures

    monkeypatch.setattr(states, "drawn", kept)
    packed = states.states_of(live.panel_of(CELLS[name]))["pictures"]["narrow"]
    shown = [whole(packed, number) for number in range(len(made))]
    assert max(map(apart, shown, made)) <= 12
    mean = [np.abs(one.astype(int) - two).mean() for one, two in zip(shown, made, strict=True)]
    assert max(mean) < 0.3


def test_a_pull_that_is_played_has_a_picture_for_each_moment(monkeypatch):
    monkeypatch.setattr(PullInTimePanel, "precomputed", (("speed", 3),))
    monkeypatch.setattr(states, "MOMENTS_APART", 25)
    found = states.states_of(PullInTimePanel())
    assert found["moments"] == ["0.00 s", "1.00 s", "2.00 s"]
    for packed in found["pictures"].values():
        assert max(map(len, packed["places"])) == 3 * len(found["sentences"])
        in_the_middle = {whole(packed, number).tobytes() for number in (3, 4, 5)}
        assert len(in_the_middle) == 3
