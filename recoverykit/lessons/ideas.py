"""The items of the survey of ideas: one for each lesson, without numbers to work out."""

from recoverykit.course.survey import Idea, Survey

SURVEY = Survey(
    (
        Idea(
            id="01",
            name="Speed and energy",
            text="A vehicle goes twice as fast as before. The energy of its motion is now …",
            options={
                "same": "the same: the mass decides.",
                "twice": "twice as much.",
                "four": "four times as much.",
                "weight": "more for a heavy vehicle, hardly more for a light one.",
            },
            right="four",
            explained="Energy grows with the square of the speed, for every vehicle.",
        ),
        Idea(
            id="02",
            name="Which line is gentle",
            text=(
                "The same vehicle comes at the same speed and is stopped by a line, each time by "
                "another one of the same length. Which line is pulled least hard?"
            ),
            options={
                "stretchiest": "The one that stretches farthest.",
                "strongest": "The strongest one, whatever it is made of.",
                "winch": "A winch line: it takes the load without bouncing.",
                "same": "All alike: vehicle and speed decide.",
            },
            right="stretchiest",
            explained="The same energy over a longer stretch needs less pull.",
        ),
        Idea(
            id="03",
            name="Speed and peak force",
            text=(
                "Out of gear, same vehicle, same rope, twice the speed as the rope comes taut. The "
                "peak force in the line is now about …"
            ),
            options={
                "same": "the same: the rope takes up the rest.",
                "four": "four times as high.",
                "runaway": "higher without end: it doubles with every km/h or mph.",
                "twice": "twice as high.",
            },
            right="twice",
            explained="Peak force grows in step with the speed. The energy grows with its square.",
        ),
        Idea(
            id="04",
            name="Two stamps",
            text=(
                "One part is stamped with a working load limit, another part with a breaking "
                "strength. The second number is twice as large, in the same unit. Which part is "
                "the stronger one?"
            ),
            options={
                "bigger": "The one with the larger number.",
                "basis": "That shows only when both are put on the same basis.",
                "equal": "They are equal: twice is the usual difference.",
                "limit": "The one with the working load limit, always.",
            },
            right="basis",
            explained=(
                "A design factor lies between the two kinds of number, and it differs from part "
                "to part."
            ),
        ),
        Idea(
            id="05",
            name="A part without a stamp",
            text=(
                "A line has five parts. Four of them are stamped, and strong enough for the pull. "
                "The fifth looks just as thick, but has no stamp. What can be said of the line?"
            ),
            options={
                "most": "It is strong enough: nearly all parts are.",
                "looks": "It is strong enough: the fifth part is just as thick.",
                "average": "It is about as strong as the average of its parts.",
                "unknown": "Nobody knows what it can take.",
            },
            right="unknown",
            explained="The weakest part decides, and an unrated part may be that one.",
        ),
        Idea(
            id="06",
            name="It does not move",
            text="A steady pull did not move a stuck vehicle. What comes next?",
            options={
                "faster": "The same pull again, but with more speed.",
                "reduce": "Less to hold it: dig, let air down, boards, unload.",
                "heavier": "A heavier recovery vehicle.",
                "stronger": "A stronger rope.",
            },
            right="reduce",
            explained="What holds the vehicle can be made smaller. That loads no part of the line.",
        ),
        Idea(
            id="07",
            name="What more speed buys",
            text=(
                "A stuck vehicle is pulled several times, each time a little faster. The force in "
                "the line rises with each step. How far does the stuck vehicle move?"
            ),
            options={
                "in-step": "Farther by the same amount with each step.",
                "always": "At each speed about as far: the rope pulls it along.",
                "threshold": "At first not at all, and from some speed on farther and farther.",
                "once": "Not at all, however fast: a rope only stretches.",
            },
            right="threshold",
            explained="Below what holds it nothing moves. The force is there all the same.",
        ),
        Idea(
            id="08",
            name="What a meter says",
            text=(
                "Three slow pulls were measured, and the peaks on the meter lie on a straight "
                "line. What do they say about a much faster pull?"
            ),
            options={
                "little": "Little: farther out it is a guess, and meters can miss the very peak.",
                "carry": "Just carry the line on, to any speed.",
                "peak": "Everything: the meter has shown the true peaks.",
                "nothing": "Nothing at all: each pull is a matter of chance.",
            },
            right="little",
            explained=(
                "Numbers hold where they were measured. A meter that looks too seldom shows less "
                "than the peak."
            ),
        ),
        Idea(
            id="09",
            name="Something lets go",
            text=(
                "A shackle is torn off the vehicle while the rope is tight. A second, short line, "
                "a tether, is there to catch it. What happens?"
            ),
            options={
                "caught": "The tether catches it: that is what it is for.",
                "heavy": "Not much: heavy metal does not fly far.",
                "gone": "Not much: the load is gone as soon as the line is open.",
                "depends": "It depends on the energy in the rope: the tether may break, too.",
            },
            right="depends",
            explained=(
                "The rope's energy goes into the piece, the rope behind it and heat. A tether may "
                "break before it has absorbed what flies at it."
            ),
        ),
        Idea(
            id="10",
            name="How to go about it",
            text="The tide is coming in, and time is short. Which way of pulling is the best plan?",
            options={
                "big": "One big pull: it saves time.",
                "steps": "A steady pull, the shovel, then small steps of speed, with stop rules.",
                "ceiling": "At once with the highest speed that is usual.",
                "repeat": "The same slow pull again and again, until it comes.",
            },
            right="steps",
            explained="Each step tells whether the next one is worth it. A broken line costs most.",
        ),
    )
)
