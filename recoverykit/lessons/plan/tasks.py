"""What lesson 10 lets learners try: work before the pull, a stiffer rope, and no plan at all."""

from recoverykit.course.tasks import Round, Task

TASKS: tuple[Task, ...] = (
    Task(
        'Tick "dig out" and "lay boards". What moves: the steps, or the green strip?',
        "The green strip drops, and the steps stay: no part of the line sees more load for it.",
        ({"dig_out": True, "lay_boards": True},),
    ),
    Task(
        "Set the stretch at break to {stretch}: a stiffer rope. How many steps are left?",
        "Fewer: a stiffer rope takes the line to its limit at a lower speed.",
        ({"stretch": Round("ratio", 15, 15)},),
    ),
    Task(
        "Set the recovery vehicle to {vehicle}, and put it on a dry road. "
        "What about the first step?",
        "Don't pull at all: the tires alone can take this line past its limit.",
        ({"vehicle": Round("mass", 9000, 19_800), "vehicle_ground": "dry road"},),
    ),
    Task(
        "Switch to the line over a tow ball. How many steps does it have?",
        "None: one part without a rating, and there's no limit to plan with.",
        ({"line": "line over a tow ball"},),
    ),
)
