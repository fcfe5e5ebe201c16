"""What a learner sets about a stuck vehicle, what stands ready to pull it, and the work before."""

from recoverykit.course.inputs import Choice, Input, Tick
from recoverykit.course.sliders import mass_slider, slider
from recoverykit.physics.ground import GROUNDS, MIRE_DEPTHS, Reduction, StuckVehicle, ground
from recoverykit.tables.marram_point import DemoStuck, DemoVehicle
from recoverykit.tables.records import find, table

NOT_MIRED = "not mired"
UNLOADED = 0.2  # of the mass of the stuck vehicle, where it is unloaded
FIRM = tuple(name for name in GROUNDS if ground(name).traction)  # a vehicle can pull from these
STEEPEST = 15  # degrees
DEMO = find(DemoStuck, name="boat carrier on the flat")  # where the panels start


def stuck_vehicle_as_set(mass, ground, mire, slope, unload=False, **ticked) -> StuckVehicle:
    """The stuck vehicle of the values of STUCK_INPUTS, without those of the other vehicle."""
    return StuckVehicle(
        mass,
        ground,
        None if mire == NOT_MIRED else mire,
        slope,
        unloaded=UNLOADED * mass if unload else 0 * mass,
        reductions=tuple(row.name for row in table(Reduction) if ticked.get(_field(row))),
    )


def _field(reduction: Reduction) -> str:
    return reduction.name.replace(" ", "_")


# Both vehicles and their ground, and work to tick.
STUCK_INPUTS: tuple[Input, ...] = (
    mass_slider(find(DemoVehicle, name=DEMO.stuck_vehicle).mass, label="Stuck vehicle").with_help(
        "Mass of the stuck vehicle, as loaded now."
    ),
    Choice("ground", "It stands in", DEMO.ground, GROUNDS).with_help(
        "The ground under the stuck vehicle."
    ),
    Choice("mire", "Mired up to its", DEMO.mire, (NOT_MIRED, *MIRE_DEPTHS)).with_help(
        "How deep it has sunk in."
    ),
    slider("slope", "Slope", DEMO.slope, "angle", -STEEPEST, STEEPEST, "degree", 1, 1).with_help(
        "Slope under the stuck vehicle: above zero if the pull goes uphill."
    ),
    mass_slider(find(DemoVehicle, name=DEMO.vehicle).mass, name="vehicle").with_help(
        "Mass of the vehicle that pulls, with all wheels driven."
    ),
    Choice("vehicle_ground", "It stands on", DEMO.vehicle_ground, FIRM).with_help(
        "The ground under the vehicle that pulls, taken as level."
    ),
    *(
        Tick(
            _field(row), f"{row.name} ({100 * row.low:.0f} to {100 * row.high:.0f} % left)"
        ).with_help(f"{row.does}; the figures are invented for teaching.")
        for row in table(Reduction)
    ),
    Tick("unload", f"unload a fifth ({100 * (1 - UNLOADED):.0f} % left)").with_help(
        "Take a fifth of its mass off the stuck vehicle."
    ),
)
