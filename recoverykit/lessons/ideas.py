"""The items of the survey of ideas: one for each lesson, without numbers to work out."""

from recoverykit.course.survey import Idea, Survey

SURVEY = Survey(
    (
        Idea(
            id="01",
            name="Speed and energy",
            text="You double a vehicle's speed. Its energy of motion is now …",
            options={
                "same": "the same: only its weight counts.",
                "twice": "twice as much.",
                "four": "four times as much.",
                "weight": "a lot more if it's heavy, hardly more if it's light.",
            },
            right="four",
            explained="Energy grows with the square of the speed, whatever the vehicle.",
        ),
        Idea(
            id="02",
            name="Which line is gentle",
            text=(
                "The same vehicle, at the same speed, is stopped by a line. You try several lines "
                "of the same length. Which one pulls the least?"
            ),
            options={
                "stretchiest": "The one that stretches the most.",
                "strongest": "The strongest one, whatever it's made of.",
                "winch": "A winch line: it takes the load without bouncing.",
                "same": "They're all alike: only vehicle and speed count.",
            },
            right="stretchiest",
            explained="The same energy over a longer stretch takes less pull.",
        ),
        Idea(
            id="03",
            name="Speed and peak force",
            text=(
                "Out of gear, same vehicle, same rope, but twice the speed as the rope comes taut. "
                "The peak force in the line is now about …"
            ),
            options={
                "same": "the same: the rope soaks up the rest.",
                "four": "four times as high.",
                "runaway": "sky-high: it doubles with every extra km/h or mph.",
                "twice": "twice as high.",
            },
            right="twice",
            explained="Peak force goes up in step with speed. Energy goes up with its square.",
        ),
        Idea(
            id="04",
            name="Two stamps",
            text=(
                "One part is stamped with a working load limit, another with a breaking strength. "
                "The second number is twice as big, in the same unit. Which part is stronger?"
            ),
            options={
                "bigger": "The one with the bigger number.",
                "basis": "You can't tell until both are on the same basis.",
                "equal": "They're equal: twice is the usual difference.",
                "limit": "Always the one with the working load limit.",
            },
            right="basis",
            explained=(
                "Between the two kinds of number is a design factor, and it differs from part to "
                "part."
            ),
        ),
        Idea(
            id="05",
            name="A part without a stamp",
            text=(
                "A line has five parts. Four are stamped, and strong enough for the pull. The "
                "fifth looks just as thick but has no stamp. What do you know about the line?"
            ),
            options={
                "most": "It's strong enough: nearly every part is.",
                "looks": "It's strong enough: the fifth part is just as thick.",
                "average": "It's about as strong as its parts on average.",
                "unknown": "Nobody knows what it can take.",
            },
            right="unknown",
            explained="The weakest part decides, and the unrated one may be it.",
        ),
        Idea(
            id="06",
            name="It does not move",
            text="A steady pull didn't move a stuck vehicle. What's next?",
            options={
                "faster": "The same pull again, with more speed.",
                "reduce": "Cut what holds it: dig, air down, lay boards, unload.",
                "heavier": "A heavier recovery vehicle.",
                "stronger": "A stronger rope.",
            },
            right="reduce",
            explained="You can cut what holds the vehicle, and that puts no load on the line.",
        ),
        Idea(
            id="07",
            name="What more speed buys",
            text=(
                "You pull a stuck vehicle several times, each time a little faster. The force in "
                "the line goes up with each step. How far does the stuck vehicle move?"
            ),
            options={
                "in-step": "Farther by the same amount each time.",
                "always": "About as far every time: the rope pulls it along.",
                "threshold": "Not at all at first. Then, from some speed on, farther and farther.",
                "once": "Not at all, however fast: a rope only stretches.",
            },
            right="threshold",
            explained=(
                "Until the pull beats what holds it, nothing moves. The line sees the force all "
                "the same."
            ),
        ),
        Idea(
            id="08",
            name="What a meter says",
            text=(
                "You measured three slow pulls, and the peaks on the meter fall on a straight "
                "line. What do they tell you about a much faster pull?"
            ),
            options={
                "little": "Not much: out there it's a guess, and a meter can miss the very peak.",
                "carry": "Just extend the line, to any speed.",
                "peak": "Everything: the meter showed the true peaks.",
                "nothing": "Nothing at all: every pull is luck.",
            },
            right="little",
            explained=(
                "Numbers hold where they were measured. A meter that samples too slowly shows less "
                "than the peak."
            ),
        ),
        Idea(
            id="09",
            name="Something lets go",
            text=(
                "A shackle tears off the vehicle while the rope is tight. A second, short line, a "
                "tether, is there to catch it. What happens?"
            ),
            options={
                "caught": "The tether catches it: that's what it's for.",
                "heavy": "Not much: heavy metal doesn't fly far.",
                "gone": "Not much: once the line is open, the load is gone.",
                "depends": "It depends on the energy in the rope: the tether may break too.",
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
            text="The tide is coming in, and time is short. What's the best plan?",
            options={
                "big": "One big pull: it saves time.",
                "steps": "A steady pull, the shovel, then small steps of speed, with stop rules.",
                "ceiling": "Start at the usual top speed.",
                "repeat": "The same slow pull again and again, until it comes out.",
            },
            right="steps",
            explained=(
                "Each step tells you whether the next one is worth it. A broken line costs you the "
                "most."
            ),
        ),
    )
)
