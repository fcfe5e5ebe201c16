"""What a learner sets about two vehicles and the rope between them."""

from recoverykit.course.inputs import Choice, Input
from recoverykit.course.sliders import mass_slider, slider, speed_slider
from recoverykit.physics.pull import Pull
from recoverykit.physics.rope import Rope, demo_rope, rope_kinds
from recoverykit.tables.marram_point import DemoHeld, DemoVehicle
from recoverykit.tables.records import find
from recoverykit.units.quantities import Q

FASTEST = Q(12, "km/h")
DEMO = find(DemoHeld, name="crew car in the creek")  # where the panels start
ROPE = demo_rope(DEMO.rope)
KINDS = rope_kinds(DEMO.rope)

# Both vehicles, what holds the stuck one, rope and speed.
HELD_INPUTS: tuple[Input, ...] = (
    mass_slider(find(DemoVehicle, name=DEMO.vehicle).mass, name="vehicle"),
    mass_slider(
        find(DemoVehicle, name=DEMO.stuck_vehicle).mass, "stuck_vehicle", "Stuck vehicle"
    ).with_help("Mass of the stuck vehicle, as loaded now."),
    slider(
        "breakout", "Breaks free at", DEMO.breakout_resistance, "force", 2, 40, "kN", 0.5, 100
    ).with_help("The pull at which the stuck vehicle begins to move: its breakout resistance."),
    slider(
        "held", "Then held by", DEMO.held_when_moving, "ratio", 20, 100, "percent", 5, 5
    ).with_help("The part of that pull that still holds it while it moves."),
    Choice("kind", "Kind of rope", next(iter(KINDS)), tuple(KINDS)).with_help(
        "How the rope takes up load as it stretches, and what it loses."
    ),
    speed_slider(DEMO.speed, FASTEST),
)


def pull_as_set(rope: Rope, vehicle, stuck_vehicle, breakout, held, speed, drive=None) -> Pull:
    """The pull of the values of HELD_INPUTS."""
    return Pull(
        vehicle,
        rope,
        speed,
        stuck_mass=stuck_vehicle,
        drive=Q(0.0, "N") if drive is None else drive,
        breakout_resistance=breakout,
        moving_resistance=held * breakout,
    )
