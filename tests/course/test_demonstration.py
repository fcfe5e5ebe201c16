"""Demonstrations: every step in both unit systems, its buttons, and a picture of the right size."""

import io

import PIL.Image
import pytest

from recoverykit.course.demonstration import PIXELS
from recoverykit.lessons.demonstrations import DEMONSTRATIONS, demonstration
from recoverykit.units.quantities import SYSTEMS, US, display

both_lessons = pytest.mark.parametrize("lesson", DEMONSTRATIONS)
OTHER_UNITS = {"metric": ("mph", "lbf", "ft"), "US": ("km/h", "kN", "kJ")}


@both_lessons
@pytest.mark.parametrize("system", SYSTEMS)
def test_every_step_has_a_number_for_the_back_row_and_one_short_comparison(lesson, system):
    display.use(system)
    shown = demonstration(lesson)
    here = shown.labels(display.system)
    display.use("US" if system == "metric" else "metric")
    assert shown.labels(SYSTEMS[system]) == here, "the buttons of both systems are made at once"
    display.use(system)
    numbers = []
    for step, label in enumerate(shown.labels(display.system)):
        screen = shown.screen(step)
        numbers.append(screen.number)
        assert len(screen.number) <= 16, "longer ones would be small"
        assert len(screen.sentence.split()) <= 22
        assert screen.sentence.endswith(".")
        for unit in OTHER_UNITS[system]:
            assert unit not in f"{label} {screen.number} {screen.sentence}".split()
    assert len(set(numbers)) == len(numbers)


@both_lessons
def test_the_picture_is_wide_enough_for_a_projector(lesson):
    picture = PIL.Image.open(io.BytesIO(demonstration(lesson).screen(0).png()))
    assert picture.width == pytest.approx(PIXELS, abs=2)
    assert 2.5 < picture.width / picture.height < 4.5


def test_a_step_is_pressed_and_stays_when_the_units_change():
    shown = demonstration("03")
    _ = shown.view
    metric, us = shown._buttons.values()
    assert (metric.layout.display, us.layout.display) == (None, "none")
    metric.index = 1
    assert "27.7" in shown._number.value
    first = shown._picture.value
    display.use("US")
    assert (metric.layout.display, us.layout.display) == ("none", None)
    assert (us.index, us.label) == (1, "2 · 5 mph")
    assert shown.screen(1).number.replace(" ", "\N{NO-BREAK SPACE}") in shown._number.value
    assert shown._picture.value != first
    us.index = 3
    assert "IT BREAKS" in shown._number.value
    assert display.system is US
