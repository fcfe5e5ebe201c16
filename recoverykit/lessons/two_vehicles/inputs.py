"""What a learner sets about two vehicles and the rope between them."""

import functools
from collections.abc import Callable

from recoverykit.course.inputs import Choice, Input, Slider
from recoverykit.course.sliders import mass_slider, speed_slider
from recoverykit.physics.pull import Pull
from recoverykit.physics.rope import Rope, demo_rope, rope_kinds
from recoverykit.tables.marram_point import DemoHeld, DemoVehicle
from recoverykit.tables.records import find
from recoverykit.units.quantities import Q

FASTEST = Q(12, "km/h")


def held_inputs(demo: DemoHeld) -> tuple[Input, ...]:
    """Inputs for both vehicles, what holds the stuck one, rope and speed; they start at a demo."""
    kinds = tuple(rope_kinds(demo.rope))
    return (
        mass_slider(find(DemoVehicle, name=demo.vehicle).mass, name="vehicle"),
        Slider(
            name="stuck_vehicle",
            label="Stuck vehicle",
            kind="mass",
            low=Q(1000, "kg"),
            high=Q(9000, "kg"),
            start=find(DemoVehicle, name=demo.stuck_vehicle).mass,
            steps=(50, 100),
            help="Mass of the stuck vehicle, as loaded now.",
        ),
        Slider(
            name="breakout",
            label="Breaks free at",
            kind="force",
            low=Q(2, "kN"),
            high=Q(40, "kN"),
            start=demo.breakout_resistance,
            steps=(0.5, 100),
            help="The pull at which the stuck vehicle begins to move: its breakout resistance.",
        ),
        Slider(
            name="held",
            label="Then held by",
            kind="ratio",
            low=Q(20, "percent"),
            high=Q(100, "percent"),
            start=demo.held_when_moving,
            steps=(5, 5),
            help="The part of that pull that still holds it while it moves.",
        ),
        Choice(
            name="kind",
            label="Kind of rope",
            options=kinds,
            start=kinds[0],
            help="How the rope takes up load as it stretches, and what it loses.",
        ),
        speed_slider(demo.speed, FASTEST),
    )


def rope_makers(name: str) -> dict[str, Callable[[Q], Rope]]:
    """Makers of ropes from a strength, by kind, each as long as a demo rope."""
    length = demo_rope(name).length
    return {kind: functools.partial(make, length) for kind, make in rope_kinds(name).items()}


def pull_as_set(rope: Rope, vehicle, stuck_vehicle, breakout, held, speed, drive=None) -> Pull:
    """The pull of the values of `held_inputs`."""
    return Pull(
        vehicle,
        rope,
        speed,
        stuck_mass=stuck_vehicle,
        drive=Q(0.0, "N") if drive is None else drive,
        breakout_resistance=breakout,
        moving_resistance=held * breakout,
    )
