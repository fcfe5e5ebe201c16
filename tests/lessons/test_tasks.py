"""The tasks of the lessons: each can be done as it says, and what is said afterwards is true."""

import pytest
from helpers.guessed_panels import GUESSES, PANELS, guessed, waiting

from recoverykit import lessons
from recoverykit.course.tasks import Round
from recoverykit.physics.ground import LIKELY, POSSIBLE, UNLIKELY
from recoverykit.physics.rigging import ABOVE, UNKNOWN
from recoverykit.units.quantities import SYSTEMS, InputError, Q, display

LONGEST = 150  # letters: three lines beside a picture
TASKS = [
    pytest.param(kind, number, id=f"{kind.__name__}-{number + 1}")
    for kind in PANELS
    for number in range(len(kind.tasks))
]
both_systems = pytest.mark.parametrize("system", ["metric", "US"])
every_task = pytest.mark.parametrize(("kind", "number"), TASKS)


def at_task(kind, number):
    """A panel, its guess made, with a task on show."""
    panel = guessed(kind)
    panel.task_run.go(number)
    return panel


def results_of(kind, number):
    """The result at the start, and after each setting that a task asks for."""
    panel = at_task(kind, number)
    results = [panel.result]
    for setting in panel.task_run.task.settings_in(display.system):
        panel.set(**setting)
        results.append(panel.result)
    return results


@every_task
@both_systems
def test_a_task_is_done_by_what_it_says_and_not_before(kind, number, system):
    display.use(system)
    panel = at_task(kind, number)
    assert not panel.task_run.is_done
    for setting in panel.task_run.task.settings_in(display.system):
        assert not panel.task_run.is_done
        panel.set(**setting)
    assert panel.task_run.is_done


@every_task
@both_systems
def test_its_words_are_short_and_its_numbers_are_on_the_slider(kind, number, system):
    task, inputs = kind.tasks[number], {each.name: each for each in kind().inputs}
    for words in (task.words(SYSTEMS[system]), task.seen_in(SYSTEMS[system])):
        assert len(words) <= LONGEST
        assert "{" not in words
    for setting in task.settings:
        for name, value in setting.items():
            if isinstance(value, Round):
                positions = inputs[name].positions(SYSTEMS[system])
                assert (
                    min(abs(value.quantity(SYSTEMS[system]).m - each) for each in positions) < 1e-9
                )


@pytest.mark.parametrize("kind", [kind for kind in GUESSES if kind.tasks])
def test_before_the_guess_no_task_is_shown_and_none_is_done(kind):
    panel, guess, typed = waiting(kind)
    _ = panel.view
    tasks = panel._view._tasks
    for setting in panel.tasks[0].settings_in(display.system):
        panel.set(**setting)
    assert not panel.task_run.done
    assert tasks.layout.display == "none"
    guess.commit(typed)
    assert tasks.layout.display is None
    assert len(tasks.buttons) == (0 if len(panel.tasks) == 1 else 2)
    assert ("1 of" in tasks._words.value) == (len(panel.tasks) > 1)


@pytest.mark.parametrize(
    "kind", [lessons.PlanPanel, lessons.MeasuredPullsPanel, lessons.ExtrapolationPanel]
)
def test_a_panel_for_what_is_ones_own_has_no_tasks(kind):
    assert kind().tasks == ()


# --- what is said afterwards ------------------------------------------------------------------


def ratio(one, other):
    return (other / one).m_as("")


@both_systems
def test_lesson_00(system):
    display.use(system)
    _, fast, slow = results_of(lessons.TimedDistancePanel, 0)
    assert ratio(fast.time, slow.time) == pytest.approx(2)
    near, far = results_of(lessons.TimedDistancePanel, 1)
    assert ratio(near.time, far.time) == pytest.approx(2)
    assert results_of(lessons.TimedDistancePanel, 2)[1].time.m_as("s") == pytest.approx(6, abs=0.1)


@both_systems
def test_lesson_01(system):
    display.use(system)
    for number, times in ((0, 4), (1, 2)):
        start, end = results_of(lessons.EnergyPanel, number)
        assert ratio(start.energy, end.energy) == pytest.approx(times)
    _, *steps = results_of(lessons.EnergyPanel, 2)
    slow, faster, fast, fastest = (step.energy for step in steps)
    assert fastest - fast >= 2.999 * (faster - slow)
    assert results_of(lessons.EnergyPanel, 3)[1].height.m_as("m") == pytest.approx(1, abs=0.05)


@both_systems
def test_lesson_02(system):
    display.use(system)
    for number, low, high in ((0, 1.4, 1.45), (1, 0.7, 0.72), (3, 2 - 1e-9, 2 + 1e-6)):
        start, end = results_of(lessons.StretchPanel, number)
        assert low <= ratio(start.rope.peak.tension, end.rope.peak.tension) <= high
    assert ratio(start.winch_line.peak.tension, end.winch_line.peak.tension) == pytest.approx(2)
    kinds = results_of(lessons.StretchPanel, 2)
    assert len(kinds) == len(lessons.StretchPanel().inputs[0].options)
    softest = min(kinds, key=lambda result: result.rope.peak.tension)
    assert softest.kind == "laid, new"
    assert softest is max(kinds, key=lambda result: result.rope.peak.extension)
    weak = results_of(lessons.StretchPanel, 4)[1]
    assert weak.winch_line.peak.parts
    assert not weak.rope.peak.parts
    assert weak.rope.peak.tension < weak.winch_line.peak.tension
    assert weak.rope.peak.extension > weak.winch_line.peak.extension


@both_systems
def test_lesson_03(system):
    display.use(system)
    for number, times in ((0, 2), (1, 2**0.5), (2, 2**0.5)):
        start, end = results_of(lessons.PeakForcePanel, number)
        assert ratio(start.peak, end.peak) == pytest.approx(times)
    _, standing = results_of(lessons.PeakForcePanel, 3)
    drive = lessons.PeakForcePanel.tasks[3].settings_in(display.system)[0]["drive"]
    assert ratio(drive, standing.peak) == pytest.approx(2)
    _, fast = results_of(lessons.PeakForcePanel, 4)
    assert fast.first.name == "soft shackle"
    assert 0.9 * fast.speed < fast.limit_speed < fast.speed
    _, fastest = results_of(lessons.PeakForcePanel, 5)
    assert fastest.parted.name == "recovery eye of the stuck vehicle"


@both_systems
def test_lesson_04(system):
    display.use(system)
    _, unknown = results_of(lessons.StampsPanel, 0)
    assert unknown.stronger("working_load_limit") is None
    assert unknown.stronger("breaking_strength") == "A"
    with pytest.raises(InputError, match="'T' can mean three"):
        lessons.StampsPanel().set(a_stamp="4.75 T")
    _, short, metric = results_of(lessons.StampsPanel, 2)
    limit = "working_load_limit"
    assert ratio(getattr(short.a.link, limit), getattr(metric.a.link, limit)) == pytest.approx(
        1.1, abs=0.01
    )
    stamped, *rigged = (
        getattr(result.b.link, limit) for result in results_of(lessons.StampsPanel, 3)
    )
    left = [ratio(stamped, each) for each in rigged]
    assert len(left) == len(lessons.StampsPanel().inputs[-1].options) - 1
    assert (min(left), left.index(min(left))) == (pytest.approx(0.5), len(left) - 1)
    assert [round(each, 1) for each in left if each > 1 + 1e-9] == [1.7]
    _, same = results_of(lessons.StampsPanel, 4)
    assert ratio(same.a.link.working_load_limit, same.b.link.rating.value) == pytest.approx(5)


@both_systems
def test_lesson_05(system):
    display.use(system)
    _, above = results_of(lessons.WeakestLinkPanel, 0)
    assert [load.link.name for load in above.loads if load.verdict == ABOVE] == ["soft shackle"]
    _, parted = results_of(lessons.WeakestLinkPanel, 1)
    assert parted.broken.name == "recovery eye of the stuck vehicle"
    assert parted.broken.rating.design_factor == 2
    assert (
        parted.broken.working_load_limit > parted.line.first_past_working_limit.working_load_limit
    )
    _, ball = results_of(lessons.WeakestLinkPanel, 2)
    assert ball.line.verdict(ball.tension) == UNKNOWN
    start, knot, wet = (
        result.line.first_past_working_limit for result in results_of(lessons.WeakestLinkPanel, 3)
    )
    assert knot.name == wet.name == "yard rope"
    assert wet.working_load_limit < knot.working_load_limit < start.working_load_limit
    for number, first in ((4, "soft shackle"), (5, "bridle")):
        _, bridled = results_of(lessons.WeakestLinkPanel, number)
        assert bridled.line.first_past_working_limit.name == first


@both_systems
def test_lesson_06(system):
    display.use(system)

    def needed(result):
        return result.worked.band.median

    start, free = results_of(lessons.HoldingPanel, 0)
    assert needed(free) < needed(start) / 3
    _, *deeper = results_of(lessons.HoldingPanel, 1)
    assert all(needed(result) > 1.5 * result.limit for result in deeper)
    assert ratio(start.limit, needed(start)) == pytest.approx(1, abs=0.03)
    given = [results_of(lessons.HoldingPanel, number)[1].pull for number in (2, 3)]
    tires = [ratio(start.pull.available.band.median, pull.available.band.median) for pull in given]
    assert tires == pytest.approx([2, 2.9], abs=0.05)
    assert given[0].verdict == UNLIKELY
    _, *after = (needed(result) for result in results_of(lessons.HoldingPanel, 4))
    assert ratio(needed(start), after[-1]) == pytest.approx(0.26, abs=0.02)
    panel = lessons.HoldingPanel()
    alone = {}
    for work in ("dig_out", "air_down", "lay_boards", "unload"):
        panel.reset()
        panel.set(**{work: True})
        alone[work] = needed(panel.result)
    assert min(alone, key=alone.get) == "dig_out"
    _, gravel, earth = results_of(lessons.HoldingPanel, 5)
    assert [gravel.pull.verdict, earth.pull.verdict] == [POSSIBLE, LIKELY]


@both_systems
def test_lesson_07(system):
    display.use(system)
    _, slow = results_of(lessons.PullInTimePanel, 0)
    assert slow.motion.stuck_travel.m == 0
    assert slow.motion.history.recovery_travel[-1].m < 0
    _, driven = results_of(lessons.PullInTimePanel, 1)
    history, slack = driven.motion.history, driven.slack_from
    again = history.tension[history.time > slack + Q(0.1, "s")].max()
    assert 0.85 < ratio(driven.motion.peak, again) < 1
    _, *steps = results_of(lessons.MoreSpeedPanel, 0)
    assert [step.here.travel.m > 0 for step in steps] == [False, False, True, True]
    start, fast = results_of(lessons.MoreSpeedPanel, 1)
    assert ratio(start.here.peak, fast.here.peak) == pytest.approx(1.6, abs=0.05)
    assert ratio(start.here.travel, fast.here.travel) == pytest.approx(5, abs=0.5)
    start, dug = results_of(lessons.MoreSpeedPanel, 2)
    assert dug.here.peak < start.here.peak
    assert ratio(start.here.travel, dug.here.travel) > 2
