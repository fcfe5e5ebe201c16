"""What lesson 07 lets learners try: one pull in slow motion, and the same pull at every speed."""

from recoverykit.course.tasks import Round, Task

PULL_TASKS = (
    Task(
        "Set the speed to {speed} and press ▶. Where does the energy go now?",
        "The car stays put. The rope hands the energy back, and the truck rolls backward.",
        ({"speed": Round("speed", 3, 2)},),
    ),
    Task(
        "Set the drive force to {drive} and press ▶. What happens after the rope goes slack?",
        "The truck keeps pulling, and the rope snaps taut again: a second jerk, almost as hard.",
        ({"drive": Round("force", 5, 1100)},),
    ),
)
SPEED_TASKS = (
    Task(
        "Go up in steps: {speed}, {speed_2}, {speed_3}, {speed_4}. What does each one buy?",
        "First force and nothing else. Once the car moves, each step buys more distance.",
        tuple(
            {"speed": Round("speed", metric, us)} for metric, us in ((2, 1), (3, 2), (5, 3), (6, 4))
        ),
    ),
    Task(
        "Set the speed to {speed}: twice as fast. How many times the force? The distance?",
        "Only about 1.6 times the force, but about five times the distance.",
        ({"speed": Round("speed", 8, 5)},),
    ),
    Task(
        'Set "Breaks free at" to {breakout}: about half, the way it might be after digging.',
        "The force drops, and the car moves at least twice as far. No speed can do that.",
        ({"breakout": Round("force", 6, 1300)},),
    ),
)
