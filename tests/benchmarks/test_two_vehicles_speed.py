"""Lesson 07: a scrubbed moment beside a new pull, and all speeds at once beside one at a time."""

import itertools

import pytest
from helpers.side_by_side import milliseconds

from recoverykit import pull_in_time
from recoverykit.lessons import MoreSpeedPanel, PullInTimePanel
from recoverykit.lessons.two_vehicles.inputs import pull_as_set
from recoverykit.lessons.two_vehicles.speed_panel import FOLLOWED
from recoverykit.lessons.two_vehicles.time_panel import MOMENTS
from recoverykit.physics.rope import demo_rope
from recoverykit.units.quantities import Q


def test_scrubbing_beside_a_new_pull(record_property):
    panel = PullInTimePanel()
    assert panel.view
    moments = itertools.cycle(range(MOMENTS))
    speeds = itertools.cycle(Q(speed / 4, "km/h") for speed in range(8, 40))
    scrubbed, moved = milliseconds(
        lambda: panel.show_moment(next(moments)), lambda: panel.set(speed=next(speeds)), rounds=25
    )
    record_property(
        "speed", f"a moment scrubbed: {scrubbed:.0f} ms; another pull in time: {moved:.0f} ms"
    )
    assert moved > 1.2 * scrubbed


@pytest.fixture
def values():
    values = dict(MoreSpeedPanel().values)
    del values["kind"], values["speed"]
    return values


def test_all_speeds_at_once_beside_one_at_a_time(values, record_property):
    speeds = MoreSpeedPanel().result.speeds
    rope = demo_rope()

    def at_once():
        pull_in_time(pull_as_set(rope, speed=speeds, **values), FOLLOWED)

    def one_at_a_time():
        for speed in speeds:
            pull_in_time(pull_as_set(rope, speed=speed, **values), FOLLOWED)

    together, apart = milliseconds(at_once, one_at_a_time, rounds=7)
    record_property(
        "speed",
        f"{len(speeds)} pulls at once: {together:.0f} ms; one at a time {apart:.0f} ms, "
        f"{apart / together:.0f} times as long",
    )
    assert apart > 5 * together
