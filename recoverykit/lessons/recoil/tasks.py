"""What lesson 09 lets learners try: a harder pull, other pieces, and other tethers."""

from recoverykit.course.tasks import Round, Task
from recoverykit.physics.recoil import PARTS

TASKS = (
    Task(
        "Double the pull to {tension}. How many times more energy does the rope hold?",
        "Twice the pull is four times the energy.",
        ({"tension": Round("force", 40, 9000)},),
    ),
    Task(
        "Set the piece to {piece}, a soft shackle, then to {piece_2}, a torn-off recovery point. "
        "Which one may be faster? Which one is sure to get more energy?",
        "The light one may be faster. The heavy one is sure to get more energy.",
        ({"piece": Round("mass", 0.2, 0.6)}, {"piece": Round("mass", 3, 6.6)}),
    ),
    Task(
        "Make the tether twice as strong, {tether_strength}, but with {tether_stretch} stretch. "
        "Can it absorb more now?",
        "Less, by far: a tether absorbs energy by stretching.",
        (
            {
                "tether_strength": Round("force", 90, 20_000),
                "tether_stretch": Round("ratio", 2, 2),
            },
        ),
    ),
    Task(
        "Make the tether twice as long: {tether_length}. Can it absorb more now?",
        "Twice as much. It's still no reason to stand closer.",
        ({"tether_length": Round("length", 2.4, 8)},),
    ),
    Task(
        "Raise the pull until the tether parts for certain. What would it take to stop that piece?",
        "From there on, even the least it has to absorb is too much for it.",
        ({"tension": Round("force", 60, 13_500)},),
        reached=lambda result: result.catch.verdict == PARTS,
    ),
)
