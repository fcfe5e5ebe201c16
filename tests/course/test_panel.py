"""The panel frame, on a small panel of its own."""

import dataclasses
import gc
import io
import itertools
from dataclasses import dataclass

import PIL.Image
import pytest
from helpers.widget_tree import send

from recoverykit.course.inputs import Choice, Slider, Tick
from recoverykit.course.narrow_page import NarrowPage
from recoverykit.course.panel import Panel
from recoverykit.course.picture import Picture
from recoverykit.course.task_view import MOVED_TOO
from recoverykit.course.tasks import Round, Task
from recoverykit.physics.formulas import kinetic_energy
from recoverykit.units.quantities import METRIC, US, InputError, Q, display, show

pytestmark = pytest.mark.usefixtures("in_new_kernel")  # in which nothing may be logged


class EnergyPicture(Picture):
    def build(self):
        self.axes = self.figure.add_axes([0.2, 0.2, 0.7, 0.7])
        self.axes.set_ylim(0, 5e5)
        (self.point,) = (self.moving(line) for line in self.axes.plot([0], [0], "o"))

    def update(self, result, system):
        self.point.set_ydata([result.energy.m_as("J")])


@dataclass(frozen=True)
class Energy:
    energy: Q


class EnergyPanel(Panel):
    inputs = (
        Slider(
            "mass", "Mass", Q(2000, "kg"), "mass", Q(500, "kg"), Q(4000, "kg"), (50, 100)
        ).with_help("How heavy it is."),
        Slider(
            "speed", "Speed", Q(9, "km/h"), "speed", Q(0, "km/h"), Q(50, "km/h"), (1, 1)
        ).with_help("How fast it goes."),
        Choice("body", "Body", "car", ("car", "boat")).with_help("What it is."),
        Tick("towing", "With a trailer").with_help("A trailer doubles the mass."),
    )
    picture_type = EnergyPicture

    def compute(self, mass, speed, body, towing):
        return Energy(kinetic_energy(mass, speed) * (2 if towing else 1))

    def describe(self, result, system):
        return f"It holds {show(result.energy, 'energy', system)}."


@pytest.fixture
def panel():
    return EnergyPanel()


def in_sight(panel):
    """The inputs' widgets of the display system in force."""
    sets = panel.view.children[0].children[1:3]  # below the buttons for units
    (seen,) = [box for box in sets if box.layout.display != "none"]
    return seen.children


def sliders(panel):
    return {s.description: s for s in in_sight(panel) if hasattr(s, "readout")}


def size(png):
    return PIL.Image.open(io.BytesIO(png)).size


def changed(panel, **values):
    panel.set(**values)
    return panel


def drag(slider, label):
    send(slider, index=[shown for shown, _ in slider.options].index(label))


def test_moving_a_slider_changes_result_sentence_and_what_moves_in_the_picture(panel):
    background, moving = panel.view.children[1].children[0].children
    sentence = panel.view.children[0].children[-1]
    before, sent = moving.value, []
    background.observe(lambda _: sent.append("background"), "value")
    drag(sliders(panel)["Speed [km/h]"], "18")
    assert panel.result.energy.m_as("kJ") == pytest.approx(25)
    assert "25.0\N{NO-BREAK SPACE}kJ" in sentence.value
    assert moving.value != before
    assert sent == []


def test_widgets_are_placed_only_where_a_value_came_from_elsewhere(panel, monkeypatch):
    placed, to_widget = [], Slider.to_widget

    def noting(self, widget, *rest):
        placed.extend(
            [self.name] if any(self is each for each in panel.inputs) else []
        )  # not of other tests' panels
        to_widget(self, widget, *rest)

    panel.inputs = [dataclasses.replace(each) for each in panel.inputs]
    monkeypatch.setattr(Slider, "to_widget", noting)
    shown = sliders(panel)  # the view is made
    assert placed == ["mass", "speed"]
    drag(shown["Speed [km/h]"], "18")
    assert placed == ["mass", "speed"]
    panel.set(mass=Q(900, "kg"))
    assert placed == ["mass", "speed", "mass"]
    display.use("US")
    assert placed == ["mass", "speed", "mass", "mass", "speed"]


def test_setting_an_input_moves_its_slider_to_the_nearest_step(panel):
    shown = sliders(panel)
    panel.set(speed=Q(10, "mph"), mass=Q(3000, "lb"))
    assert shown["Speed [km/h]"].label == "16"  # 16.09 km/h
    assert shown["Mass [kg]"].label == "1350"  # 1361 kg
    assert panel.values["mass"] == Q(3000, "lb")


def test_what_the_page_answers_to_a_moved_slider_changes_nothing(panel):
    panel.set(speed=Q(10, "mph"))
    slider = sliders(panel)["Speed [km/h]"]
    send(slider, index=slider.index)
    assert panel.values["speed"] == Q(10, "mph")


def test_a_fault_while_sliders_are_placed_does_not_leave_them_dead(panel, monkeypatch):
    slider = in_sight(panel)[0]
    with monkeypatch.context() as broken:
        broken.setattr(Slider, "to_widget", lambda *_: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            panel.set(speed=Q(20, "km/h"))
    slider.index += 1
    assert panel.values["mass"] > Q(2000, "kg")


def test_after_a_switch_of_units_a_value_is_the_round_number_that_its_slider_shows(panel):
    before = dict(panel.values)
    display.use("US")
    shown = sliders(panel)
    assert {label: slider.label for label, slider in shown.items()} == {
        "Mass [lb]": "4,400",  # 2000 kg is 4409 lb
        "Speed [mph]": "6",  # 9 km/h is 5.6 mph
    }
    assert panel.values["mass"] == Q(4400, "lb")
    assert panel.values["speed"] == Q(6, "mph")
    assert panel.summary.endswith("ft·lbf.")
    display.use("metric")
    assert panel.values == before, "no step is lost on the way there and back"
    display.use("US")
    drag(shown["Mass [lb]"], "4,000")
    assert panel.values["mass"] == Q(4000, "lb")
    display.use("metric")
    assert panel.values["mass"] == Q(1800, "kg")
    assert sliders(panel)["Mass [kg]"].label == "1800"


def test_a_panel_starts_and_starts_again_with_round_numbers_of_the_system_in_force():
    display.use("US")
    panel = EnergyPanel()
    start = {"mass": Q(4400, "lb"), "speed": Q(6, "mph"), "body": "car", "towing": False}
    assert panel.values == start
    panel.set(mass=Q(4409, "lb"))
    assert panel.values["mass"] == Q(4409, "lb"), "what is set in code is not rounded"
    panel.reset()
    assert panel.values == start


@pytest.mark.parametrize("system", [METRIC, US])
def test_slider_positions_are_all_whole_steps_inside_the_limits(panel, system):
    for each in panel.inputs[:2]:
        unit, positions = system.unit(each.kind), each.positions(system)
        step = positions[1] - positions[0]
        assert each.low.m_as(unit) <= positions[0] + 1e-9 < each.low.m_as(unit) + step
        assert each.high.m_as(unit) - step < positions[-1] - 1e-9 <= each.high.m_as(unit)
        assert [p / step for p in positions] == pytest.approx([round(p / step) for p in positions])


# As a limit that was converted from another unit: a rounding beside a whole step.
ROUNDED = Slider(
    "slack", "Slack", Q(0.2, "m"), "length", Q(0.1 + 1e-12, "m"), Q(0.3 - 1e-12, "m"), (0.1, 0.1)
).with_help("How much line lies on the ground.")


def test_a_rounded_end_of_a_slider_is_the_limit_itself():
    widget = ROUNDED.widget(METRIC)
    assert [label for label, _ in widget.options] == ["0.1", "0.2", "0.3"]
    first, middle, last = (shown for _, shown in widget.options)
    assert Q(first, "m") < ROUNDED.low
    assert Q(last, "m") > ROUNDED.high
    taken = [ROUNDED.from_widget(shown, METRIC) for shown in (first, middle, last)]
    assert taken == [ROUNDED.low, Q(0.2, "m"), ROUNDED.high]
    for value in taken:
        ROUNDED.check(value)


@pytest.mark.parametrize(
    ("value", "label"),
    [
        (ROUNDED.low, "0.1"),
        (Q(149, "mm"), "0.1"),
        (Q(151, "mm"), "0.2"),
        (Q(249, "mm"), "0.2"),
        (Q(251, "mm"), "0.3"),
        (ROUNDED.high, "0.3"),
    ],
)
def test_a_slider_shows_the_position_nearest_to_its_value(value, label):
    widget = ROUNDED.widget(METRIC)
    ROUNDED.to_widget(widget, value, METRIC)
    assert widget.label == label


def test_a_value_beyond_the_last_step_stands_at_the_end_until_it_is_moved(panel):
    display.use("US")
    slider = sliders(panel)["Mass [lb]"]
    for limit, label in ((Q(4000, "kg"), "8,800"), (Q(500, "kg"), "1,200")):  # 8818 and 1102 lb
        panel.set(mass=limit)
        assert slider.label == label
        panel.set(speed=Q(7, "mph"))
        assert (slider.label, panel.values["mass"]) == (label, limit)
    drag(slider, "1,300")
    assert panel.values["mass"].m_as("lb") == pytest.approx(1300)


def test_choices_and_ticks_are_taken_and_show_what_was_set_before_and_after_they_are_seen(panel):
    light = panel.result.energy
    panel.set(body="boat", towing=True)
    assert panel.result.energy == 2 * light
    *_, body, towing = in_sight(panel)
    assert (body.value, body.options, towing.value) == ("boat", ("car", "boat"), True)
    display.use("US")
    *_, body, towing = in_sight(panel)
    assert (body.value, towing.value) == ("boat", True)
    panel.set(body="car")
    assert body.value == "car"
    body.value = "boat"
    send(towing, value=False)
    assert (panel.values["body"], panel.values["towing"]) == ("boat", False)
    display.use("metric")
    assert in_sight(panel)[2].value == "boat"
    assert panel.result.energy == light


def test_starting_values(panel):
    panel.set(speed=Q(40, "km/h"), mass=Q(900, "kg"))
    (button,) = panel.view.children[0].children[-2].children
    assert button.description == "Starting values"
    button.click()
    assert panel.values == {each.name: each.start for each in panel.inputs}


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"speed": Q(51, "km/h")}, ["speed", "51", "above"]),
        ({"speed": Q(5, "kg")}, ["speed", "5 kg is not a speed", 'Q(5, "km/h")']),
        ({"speed": 5, "mass": Q(1, "kg")}, ["speed", "no unit", "mass", "below"]),
        ({"speed": Q(float("nan"), "km/h")}, ["speed", "not a finite number"]),
        ({"speed": Q([1, 2], "km/h")}, ["speed", "one value"]),
        ({"body": "ship"}, ["body", "'ship'", "'car', 'boat'"]),
        ({"towing": "yes"}, ["towing", "True nor False"]),
        ({"pace": Q(5, "km/h")}, ["'pace'", "mass, speed"]),
    ],
)
def test_bad_values_are_named_and_change_nothing(panel, values, words):
    before, summary = dict(panel.values), panel.summary
    with pytest.raises(InputError) as caught:
        panel.set(**values)
    assert all(word in str(caught.value) for word in words), caught.value
    assert panel.values == before
    assert panel.summary == summary


@pytest.mark.parametrize("broken", ["compute", "describe"])
def test_values_that_cannot_be_worked_out_are_not_kept(panel, monkeypatch, broken):
    before, result, summary = dict(panel.values), panel.result, panel.summary
    with monkeypatch.context() as fault:
        fault.setattr(EnergyPanel, broken, lambda *_, **__: 1 / 0)
        with pytest.raises(ZeroDivisionError):
            panel.set(speed=Q(20, "km/h"))
    assert panel.values == before
    assert (panel.result, panel.summary) == (result, summary)
    display.use("US")
    display.use("metric")
    assert panel.result == result


def test_corners_are_all_combinations_and_leave_the_values_alone(panel):
    before = dict(panel.values)
    energies = {result.energy.m_as("J") for result in panel.corners()}
    assert len(energies) == 5  # at rest all hold nothing; two masses, each with and without trailer
    assert panel.values == before


def test_paired_corners_let_every_two_extremes_meet_in_fewer_visits(panel):
    before, all_corners = dict(panel.values), len(list(panel.corners()))
    seen = [dict(panel.values) for _ in panel.paired_corners()]
    assert len(seen) < all_corners
    for one, other in itertools.combinations(panel.inputs, 2):
        met = {(values[one.name], values[other.name]) for values in seen}
        assert met == set(itertools.product(one.extremes, other.extremes))
    assert panel.values == before


def test_a_narrow_page_gets_the_narrow_layout_and_the_other_again_when_it_is_wide(panel):
    background, moving = panel.view.children[1].children[0].children
    box = NarrowPage()
    wide = background.value
    send(box, value=True)
    assert (background.layout.width, size(background.value)) == ("366px", (732, 920))
    assert size(moving.value) == (732, 920)
    drag(sliders(panel)["Speed [km/h]"], "18")
    assert panel.png(narrow=True) != panel.png()
    send(box, value=False)
    assert (background.layout.width, background.value) == ("760px", wide)
    assert panel.png() == changed(EnergyPanel(), speed=Q(18, "km/h")).png()


def test_the_stored_picture_and_sentence_are_in_the_bundle(panel):
    bundle = panel._repr_mimebundle_()
    assert bundle["text/plain"] == panel.summary
    assert bundle["image/png"].startswith("iVBOR")
    assert "application/vnd.jupyter.widget-view+json" in bundle


def test_a_panel_that_is_gone_does_not_follow_switches():
    gc.collect()  # panels of other tests
    followers = len(display.switched)
    panel = EnergyPanel()
    assert len(display.switched) == followers + 1
    del panel
    gc.collect()
    assert len(display.switched) == followers


# --- tasks ----------------------------------------------------------------------------------

TASKS = (
    Task(
        "Go to {speed}, then to {speed_2}.",
        "Twice the speed is four times the energy.",
        ({"speed": Round("speed", 10, 5)}, {"speed": Round("speed", 20, 10)}),
    ),
    Task(
        "Hitch up the trailer.",
        "Twice the mass is twice the energy.",
        ({"towing": True},),
        reached=lambda result: result.energy > Q(10, "kJ"),
    ),
)


class TaskPanel(EnergyPanel):
    tasks = TASKS


@pytest.fixture
def tried():
    return TaskPanel()


def on_page(panel):
    """The words of the task, the reply to what was done, and the buttons."""
    *_, task, buttons, _ = panel.view.children[0].children
    words, reply = task.children
    return words.value, reply.value, *buttons.children


def test_a_task_is_done_when_its_settings_were_made_in_turn(tried):
    run = tried.task_run
    tried.set(speed=Q(20, "km/h"))
    assert not run.is_done
    for speed in (10, 15):
        tried.set(speed=Q(speed, "km/h"))
        assert not run.is_done
    tried.set(speed=Q(20, "km/h"))
    assert run.is_done
    tried.reset()
    assert run.is_done, "what is done stays done"


def test_a_learner_does_it_with_the_slider_in_the_units_on_show(tried):
    display.use("US")
    words, reply, *_ = on_page(tried)
    assert "Go to 5\N{NO-BREAK SPACE}mph, then to 10\N{NO-BREAK SPACE}mph." in words
    assert "1 of 2" in words
    assert reply == ""
    for label in ("5", "10"):
        drag(sliders(tried)["Speed [mph]"], label)
    assert "✓ Twice the speed is four times the energy." in on_page(tried)[1]


def test_with_something_else_moved_the_learner_is_told_so(tried):
    tried.set(body="boat", speed=Q(10, "km/h"))
    assert tried.task_run.moved_too
    assert MOVED_TOO in on_page(tried)[1]
    tried.reset()
    tried.set(speed=Q(10, "km/h"))
    tried.set(speed=Q(20, "km/h"))
    assert tried.task_run.is_done


def test_the_next_task_begins_with_the_starting_values(tried):
    tried.set(speed=Q(20, "km/h"), towing=True)
    start = {each.name: each.start for each in tried.inputs}
    _, _, previous, forward, _ = on_page(tried)
    forward.click()
    assert tried.values == start
    assert "Hitch up the trailer." in on_page(tried)[0]
    assert not tried.task_run.is_done
    tried.set(towing=True)
    assert tried.task_run.is_done
    previous.click()
    assert "1 of 2" in on_page(tried)[0]
    previous.click()
    assert "2 of 2" in on_page(tried)[0]
    assert "✓" in on_page(tried)[1]


def test_a_panel_without_tasks_shows_none():
    assert EnergyPanel().task_run is None
    assert (
        len(EnergyPanel().view.children[0].children)
        == len(TaskPanel().view.children[0].children) - 1
    )
