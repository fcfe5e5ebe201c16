"""What lesson 04 lets learners try: a factor that is missing, three tons, and every rigging."""

from recoverykit.course.tasks import Task
from recoverykit.lessons.stamps.rigged import RIGGED

TASKS = (
    Task(
        'Choose "not stated" as the design factor of B. What can you still compare?',
        "Only the breaking strength. B's working load limit could be anything.",
        ({"b_factor": "not stated"},),
    ),
    Task(
        'Type "4.75 T" for A. Read what the panel says, then type "4.75 short tons".',
        "A bare T can mean three different tons, so the panel won't take it. Ask the maker.",
        ({"a_stamp": "4.75 short tons"},),
    ),
    Task(
        'Type "4.75 short tons" for A, then "4.75 tonnes". How far apart are they?',
        "A metric ton is a tenth more than a short ton.",
        ({"a_stamp": "4.75 short tons"}, {"a_stamp": "4.75 tonnes"}),
    ),
    Task(
        "Rig B every way on the list. Which takes most off? Does any hold more than its stamp?",
        "Pulled sideways, a shackle keeps only half. A narrow bridle holds 1.7 times the stamp.",
        tuple({"b_rigged": rigged} for rigged in list(RIGGED)[1:]),
    ),
    Task(
        "Type a breaking strength for B that makes both parts equally strong.",
        "It's 5 times A's working load limit: B's design factor times the limit.",
        ({"b_stamp": "32,500 lbf"},),
        reached=lambda result: result.stronger("working_load_limit") == "same",
    ),
)
