"""What lesson 06 lets learners try: mire, mass, better ground, and work before the pull."""

from recoverykit.course.tasks import Round, Task

WORK = ("dig_out", "air_down", "lay_boards", "unload")
ALL_WORK = dict.fromkeys(WORK, True)

TASKS = (
    Task(
        'Set "Mired up to its" to "not mired". What held the boat carrier most?',
        "The mire did. Without it, less than a third of the pull is left.",
        ({"mire": "not mired"},),
    ),
    Task(
        "Mire it up to the fenders, then to the cab. Do these pulls go past the line's limit?",
        "Both go far past it. Even up to its wheels, it takes about as much as the line may see.",
        ({"mire": "fenders"}, {"mire": "cab"}),
    ),
    Task(
        "Set the recovery vehicle to {vehicle}: twice as heavy. What do its tires give now?",
        "Twice the mass, twice the pull. It's still unlikely to be enough.",
        ({"vehicle": Round("mass", 6200, 13600)},),
    ),
    Task(
        "Leave the mass alone and park the recovery vehicle on gravel. Is that better?",
        "Yes: nearly three times the pull. Better ground gives more than twice the mass.",
        ({"vehicle_ground": "gravel"},),
    ),
    Task(
        "Tick one job after another, from digging to unloading. What's left after all four?",
        "About a quarter of the pull. Digging alone takes off the most.",
        tuple(dict.fromkeys(WORK[: done + 1], True) for done in range(len(WORK))),
    ),
    Task(
        "Do all the work and park on gravel. What's the verdict? Then try dry earth.",
        "Gravel: possibly enough. Dry earth: likely enough. Nobody needed a run-up.",
        (ALL_WORK | {"vehicle_ground": "gravel"}, ALL_WORK | {"vehicle_ground": "dry earth"}),
    ),
)
