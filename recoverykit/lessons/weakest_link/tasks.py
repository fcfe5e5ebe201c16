"""What lesson 05 lets learners try: tension, an unrated part, a knot, water, and a bridle."""

from recoverykit.course.tasks import Round, Task
from recoverykit.physics.rigging import ABOVE

TASKS = (
    Task(
        "Raise the tension until a part passes its working limit. Which? Are the others within?",
        "The soft shackle is the first. The other four are within their limits; the line isn't.",
        ({"tension": Round("force", 28, 6250)},),
        reached=lambda result: any(load.verdict == ABOVE for load in result.loads),
    ),
    Task(
        "Raise the tension until something breaks. Is it the part that was first past its limit?",
        "No: the recovery eye breaks. Its limit is higher, but its design factor is only 2.",
        ({"tension": Round("force", 78, 17750)},),
        reached=lambda result: result.broken is not None,
    ),
    Task(
        "Set the tension to {tension} and put the line on the tow ball. What can you say about it?",
        "Nothing. One part without a rating leaves the whole line without one.",
        ({"tension": Round("force", 10, 2250), "hitch": "tow ball, unrated"},),
    ),
    Task(
        "Tie the rope with a bowline. Then get it wet, too. Which part is first past its limit?",
        "The rope. The knot alone makes it the weakest part, and water takes away more.",
        ({"knot": True}, {"knot": True, "wet": True}),
    ),
    Task(
        "Put a bridle on the stuck vehicle, legs at 15°. Does that raise the limit of the line?",
        "No. The two eyes share the pull, but the soft shackle still sets the limit.",
        ({"stuck_vehicle": "bridle, legs 15° off the pull"},),
    ),
    Task(
        "Open the bridle to 60°. Which part is first past its limit now?",
        "The bridle. At 60° each leg sees as much as the whole line.",
        ({"stuck_vehicle": "bridle, legs 60° off the pull"},),
    ),
)
