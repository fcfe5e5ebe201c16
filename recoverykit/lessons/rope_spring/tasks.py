"""What lesson 02 lets learners try: a stronger rope, a longer one, other kinds, more speed."""

from recoverykit.course.tasks import Round, Task

TASKS = (
    Task(
        "Set the strength to {strength}: twice as strong. Does the rope pull any softer?",
        "No. A stronger rope is stiffer, and pulls about 1.4 times as hard.",
        ({"strength": Round("force", 330, 74000)},),
    ),
    Task(
        "Set the length to {length}: twice as long. What does a longer rope do?",
        "A longer rope is softer: it pulls only about 0.7 times as hard.",
        ({"length": Round("length", 22, 72)},),
    ),
    Task(
        "Go through the other kinds of rope, one by one. Which one pulls softest?",
        "The new laid rope does: it stretches farthest.",
        tuple(
            {"kind": kind} for kind in ("double braid, new", "double braid, worked", "laid, new")
        ),
    ),
    Task(
        "Set the speed to {speed}: twice as fast, four times the energy. What about the pull?",
        "The pull only doubles, for both lines.",
        ({"speed": Round("speed", 8, 5)},),
    ),
    Task(
        "At {speed}, lower the strength until the winch line parts. What does the rope do?",
        "The rope holds: it stretches farther and takes up the same energy with less pull.",
        ({"speed": Round("speed", 8, 5), "strength": Round("force", 35, 8000)},),
        reached=lambda result: result.winch_line.peak.parts and not result.rope.peak.parts,
    ),
)
