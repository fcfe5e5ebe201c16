"""What lesson 00 lets learners try: to set a speed, and what it does to the seconds."""

from recoverykit.course.tasks import Round, Task

TASKS = (
    Task(
        "Drag the speed to {speed}. Then go back to {speed_2}, with the arrow keys if you have "
        "them. What happens to the seconds?",
        "Half the speed takes twice the time.",
        ({"speed": Round("speed", 8, 5)}, {"speed": Round("speed", 4, 2.5)}),
    ),
    Task(
        "Set the distance to {distance}: twice as far. How long does it take now?",
        "Twice as far takes twice as long, so it's easier to count.",
        ({"distance": Round("length", 20, 70)},),
    ),
    Task(
        "Find a speed that takes about 6 seconds.",
        "That's about {speed}, a little faster than a brisk walk.",
        ({"speed": Round("speed", 6, 4)},),
        reached=lambda result: 5.5 <= result.time.m_as("s") <= 6.5,
    ),
)
