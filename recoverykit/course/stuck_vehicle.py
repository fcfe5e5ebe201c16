"""What a learner sets about a stuck vehicle, what stands ready to pull it, and the work before."""

from recoverykit.course.inputs import Choice, Input, Slider, Tick
from recoverykit.course.sliders import mass_slider
from recoverykit.physics.ground import GROUNDS, MIRE_DEPTHS, Reduction, StuckVehicle, ground
from recoverykit.tables.marram_point import DemoStuck, DemoVehicle
from recoverykit.tables.records import find, table
from recoverykit.units.quantities import Q

NOT_MIRED = "not mired"
UNLOADED = 0.2  # of the mass of the stuck vehicle, where it is unloaded
FIRM = tuple(name for name in GROUNDS if ground(name).traction)  # a vehicle can pull from these
STEEPEST = 15  # degrees


def stuck_vehicle_as_set(mass, ground, mire, slope, unload=False, **ticked) -> StuckVehicle:
    """The stuck vehicle of the values of `stuck_inputs`, without those of the other vehicle."""
    return StuckVehicle(
        mass,
        ground,
        None if mire == NOT_MIRED else mire,
        slope,
        unloaded=UNLOADED * mass if unload else 0 * mass,
        reductions=tuple(row.name for row in table(Reduction) if ticked.get(_field(row))),
    )


def stuck_inputs(demo: DemoStuck) -> tuple[Input, ...]:
    """Inputs for both vehicles and their ground, and work to tick; they start at a demo case."""
    return (
        mass_slider(
            find(DemoVehicle, name=demo.stuck_vehicle).mass,
            label="Stuck vehicle",
            help="Mass of the stuck vehicle, as loaded now.",
        ),
        Choice(
            name="ground",
            label="It stands in",
            options=GROUNDS,
            start=demo.ground,
            help="The ground under the stuck vehicle.",
        ),
        Choice(
            name="mire",
            label="Mired up to its",
            options=(NOT_MIRED, *MIRE_DEPTHS),
            start=demo.mire,
            help="How deep it has sunk in.",
        ),
        Slider(
            name="slope",
            label="Slope",
            kind="angle",
            low=Q(-STEEPEST, "degree"),
            high=Q(STEEPEST, "degree"),
            start=demo.slope,
            steps=(1, 1),
            help="Slope under the stuck vehicle: above zero if the pull goes uphill.",
        ),
        mass_slider(
            find(DemoVehicle, name=demo.vehicle).mass,
            name="vehicle",
            help="Mass of the vehicle that pulls, with all wheels driven.",
        ),
        Choice(
            name="vehicle_ground",
            label="It stands on",
            options=FIRM,
            start=demo.vehicle_ground,
            help="The ground under the vehicle that pulls, taken as level.",
        ),
        *(
            Tick(
                name=_field(row),
                label=f"{row.name} (leaves {100 * row.low:.0f} % to {100 * row.high:.0f} %)",
                help=f"{row.does}; the figures are invented for teaching.",
            )
            for row in table(Reduction)
        ),
        Tick(
            name="unload",
            label=f"unload a fifth (leaves {100 * (1 - UNLOADED):.0f} %)",
            help="Take a fifth of its mass off the stuck vehicle.",
        ),
    )


def _field(reduction: Reduction) -> str:
    return reduction.name.replace(" ", "_")
