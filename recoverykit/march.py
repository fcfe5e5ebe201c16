"""March: many pulls carried through time together, step by step and event by event.

Everything here is in the scaled numbers of `ScaledPull`: arrays with one entry a pull.

Between events the forces are smooth, and steps of a fixed size carry every pull on. A step is cut
short where something happens: the rope comes taut or goes slack, the stretch turns, the casualty
breaks free or sticks, the rope parts, or its load curve goes over into the next piece. So no step
crosses a kink of the forces. When the event comes is foreseen from the accelerations of the
moment; where that misses it, the next step starts close by and hits it, as exactly as it steps.
"""

from collections.abc import Callable

import numpy as np

from recoverykit.rope import LoadCurve, polynomial, rising_root

STEP = 0.125  # of the time in which the line swings through one radian, where it is stiffest

_SOON = 1e-7  # steps: an event that is nearer has arrived
_AHEAD = 1e-3  # of the narrowest piece of the curve: the end of a piece that is nearer is passed
_EQUAL = 1e-12  # parts by which forces may differ and still be equal
_NEVER = 1e60  # a time or a stretch that is not reached; infinity would turn into not-a-number
_TOGETHER = 16384  # pulls at once; with more their numbers no longer fit into a processor's cache
_PATIENCE = 4  # steps for which a pull may wait for others, to save the toll on each event
_MOST_STEPS = 1_000_000  # more than any pull within the limits of `pull_in_time` has taken

# What waits at the target of a rope that goes on stretching, or shortening.
_NOWHERE, _TAUT, _SLACK, _BREAKOUT, _REJOIN, _PART = range(6)

# What happens at a moment that no stretch tells.
_AT_TARGET, _TURN, _STICK, _CLOCK = range(4)

OUTCOME = (
    "peak",
    "peak_time",
    "parted_at",  # not a number where the rope holds
    "casualty_travel",
    "casualty_speed",
    "from_drive",
    "moving",
    "stored",
    "lost_in_rope",
    "let_go",
    "against_ground",
)
HISTORY = (
    "tension",
    "extension",
    "recovery_speed",
    "casualty_speed",
    "recovery_travel",
    "casualty_travel",
)

GIVEN = (
    "speed",
    "drive",
    "mass_ratio",
    "breakout",
    "resistance",
    "start",
    "parting",
    "loss",
    "end",
    "cutoff",  # when the driver lets off the drive
)
_STATE = (
    *GIVEN,
    "number",  # of the pull among all of them
    "breakout_stretch",
    "soon",
    "time",
    "clock",  # when the next sample is due, the driver lets off, or the pull ends
    "sample",
    "stretch",
    "rate",  # of stretching
    "casualty_speed",
    "casualty_travel",
    "give",  # the mass ratio while the casualty moves, 0 while it stands
    "heading",  # 1 while the rope stretches, −1 while it shortens
    "taut",  # 1 or 0, as the next two
    "parted",
    "ended",
    "held",  # work of loading up to where the stretch turned; 0 on the loading curve
    "turned",  # that stretch
    "target",
    "awaits",
    "peak",
    "peak_time",
    "parted_at",
    "from_drive",
    "lost_in_rope",
    "let_go",
    # What the steps until the next event have in common.
    "push",  # on the stretch, while the tension pulls back with `yields` times itself
    "yields",
    "faded",  # tension on the way back: load · (1 − faded + regained · energy)
    "regained",
    "pace",  # the longest step on a piece of slope 1
)


class Pulls:
    """The state of many pulls: a row for each name in _STATE, a column for each pull."""

    def __init__(self, table: np.ndarray):
        self.table = table
        vars(self).update(zip(_STATE, table, strict=True))

    def only(self, which) -> "Pulls":
        """These pulls alone, as a copy."""
        return Pulls(self.table[:, which])


def march(curve: LoadCurve, given: dict[str, np.ndarray], samples: int):
    """Carry pulls to their ends: their outcome and, at `samples` equal times, their history.

    `given` holds one flat array for each name in GIVEN. The outcome has a row for each name in
    OUTCOME; the history has them for HISTORY, then the samples, then the pulls.
    """
    law = Law(curve)
    size = len(given["end"])
    outcome = np.empty((len(OUTCOME), size))
    history = np.empty((len(HISTORY), samples, size))
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        for first in range(0, size, _TOGETHER):
            numbers = np.arange(first, min(first + _TOGETHER, size))
            pulls = _begin(law, {name: column[numbers] for name, column in given.items()}, numbers)
            _carry_on(pulls, law, outcome, history)
    return outcome, history


def _carry_on(pulls: Pulls, law: "Law", outcome, history):
    """Step and arrive until all have ended."""
    _arrive(pulls, np.full(len(pulls.time), _CLOCK), law, history)
    for count in range(_MOST_STEPS):
        which, events = _step_on(pulls, law)
        if len(which) and (count % _PATIENCE == 0 or 8 * len(which) > len(pulls.time)):
            some = pulls.only(which)
            _arrive(some, events, law, history)
            pulls.table[:, which] = some.table
        ended = pulls.ended > 0
        if np.count_nonzero(ended) > len(ended) // 8:
            _close(pulls.only(ended), law, outcome)
            pulls = pulls.only(~ended)
            if not len(pulls.time):
                return
    raise RuntimeError("these pulls come to no end; please tell the makers of this course")


def _begin(law: "Law", given: dict[str, np.ndarray], numbers) -> Pulls:
    """Pulls at the moment at which their ropes come taut."""
    pulls = Pulls(np.zeros((len(_STATE), len(numbers))))
    for name, column in given.items():
        getattr(pulls, name)[:] = column
    stretch = law.curve.stretch_at(np.minimum(pulls.breakout, 1.0))
    pulls.breakout_stretch[:] = np.where(pulls.breakout <= 1, stretch, np.inf)
    pulls.number[:] = numbers
    pulls.soon[:] = _SOON * law.shortest_step(pulls.mass_ratio, pulls.loss)
    pulls.stretch[:] = pulls.start
    pulls.rate[:] = pulls.speed
    pulls.heading[:] = pulls.taut[:] = 1.0
    pulls.parted_at[:] = np.nan
    return pulls


# --- the forces -------------------------------------------------------------------------


class Law:
    """The rope's tension: a polynomial on each piece of its curve, and none while it is slack."""

    def __init__(self, curve: LoadCurve):
        self.curve = curve
        self._inner = curve.knots[1:-1]
        self._margin = _AHEAD * np.min(np.diff(curve.knots))
        # One more piece beyond the last is the slack rope, without load and without end.
        self._slack = len(curve.knots) - 1
        load, energy, _ = curve.pieces
        self._load = [np.append(row, 0.0) for row in load]
        self._energy = [np.append(row, 0.0) for row in energy]
        self._first = np.append(curve.knots[:-1], 0.0)
        self._ends = np.append(curve.knots[:-1], -_NEVER), np.append(curve.knots[1:], _NEVER)
        steepest = np.maximum.accumulate(curve.slopes[1])
        self._step = np.append(1 / np.sqrt(steepest), _NEVER)

    def piece(self, pulls: Pulls) -> np.ndarray:
        """The piece of the curve on which each rope goes on from where it is."""
        ahead = pulls.stretch + self._margin * pulls.heading
        piece = self._inner.searchsorted(ahead, side="right")
        return np.where(pulls.taut, piece, self._slack)

    def tension(self, pulls: Pulls, piece) -> Callable:
        """Tension as a function of the stretch, good on a piece and a little beyond it."""
        first = self._first.take(piece)
        load = [row.take(piece) for row in self._load]
        if not pulls.regained.any():
            return lambda stretch: polynomial(load, stretch - first)
        energy = [row.take(piece) for row in self._energy]

        def on_the_way_back(stretch):
            beyond = stretch - first
            held = polynomial(energy, beyond)
            return polynomial(load, beyond) * (1 - pulls.faded + pulls.regained * held)

        return on_the_way_back

    def tension_now(self, pulls: Pulls):
        """Tension where each rope is."""
        return self.tension(pulls, self.piece(pulls))(pulls.stretch)

    def gap(self, pulls: Pulls, piece):
        """How far each rope is from the end of its piece."""
        back, on = self._ends
        end = np.where(pulls.heading > 0, on.take(piece), back.take(piece))
        return np.abs(end - pulls.stretch)

    def longest_step(self, pulls: Pulls, piece):
        """The longest step on a piece."""
        return pulls.pace * self._step.take(piece)

    def shortest_step(self, mass_ratio, loss):
        """The shortest step on all pieces."""
        return pace(mass_ratio, loss) * np.min(self._step)


def pace(give, loss):
    """The longest step on a piece of slope 1.

    On the way back a rope is up to 1 + 4 loss times as stiff as on loading, since
    load² ≤ 2 · energy · (the greatest slope so far).
    """
    return STEP / np.sqrt((1 + give) * (1 + 2 * loss))


# --- a step -----------------------------------------------------------------------------


def _step_on(pulls: Pulls, law: Law):
    """One step for every pull but those that have arrived at an event: which, and at what."""
    piece = law.piece(pulls)
    tension = law.tension(pulls, piece)
    now = tension(pulls.stretch)
    gaining = pulls.push - pulls.yields * now

    waits, piece_end = _waits(pulls, law.gap(pulls, piece), now, gaining)
    wait = np.minimum.reduce(waits)
    arrived = np.abs(wait) <= pulls.soon
    longest = law.longest_step(pulls, piece)
    step = np.minimum(np.minimum(wait, piece_end), longest)
    step = np.maximum(step, -longest)
    step[arrived] = 0.0
    _advance(pulls, tension, step, now, gaining)

    which = arrived.nonzero()[0]
    return which, np.argmin(np.abs(waits[:, which]), axis=0)


def _waits(pulls: Pulls, piece_gap, now, gaining):
    """How long until each kind of event, and until the end of the piece of the curve.

    Reckoned as if the accelerations stayed what they are. An event that was just passed is a
    little while ago, a negative time.
    """
    waits = np.empty((4, len(now)))
    rate, gaining = pulls.heading * pulls.rate, pulls.heading * gaining
    gap = pulls.heading * (pulls.target - pulls.stretch)
    near = np.minimum(gap, piece_gap)
    # Where the root is not real the stretch turns first, and that wait is shorter or past.
    square = np.maximum(rate * rate + 2 * gaining * near, 0.0)
    mean = (rate + np.sqrt(square)) / 2 + 1 / _NEVER
    reach = np.where(mean > 0, near / mean, _NEVER)
    at_target = gap <= piece_gap
    slowing = pulls.give * (pulls.resistance - now)
    noise = 10 * _EQUAL * pulls.give * (pulls.resistance + now)
    waits[_AT_TARGET] = np.where(at_target, reach, _NEVER)
    waits[_TURN] = np.where(gaining < 0, -rate / gaining, _NEVER)
    waits[_STICK] = np.where(slowing > noise, pulls.casualty_speed / slowing, _NEVER)
    waits[_CLOCK] = pulls.clock - pulls.time
    return waits, np.where(at_target, _NEVER, reach)


def _advance(pulls: Pulls, tension: Callable, step, now, gaining):
    """A step of Nyström's method of order 5.

    The first and the second integral of the tension over the step move both vehicles, so that
    the momentum is kept to the last digit.
    """
    square = step * step
    moved = step * pulls.rate
    second = tension(pulls.stretch + moved / 5 + square / 50 * gaining)
    gaining_2 = pulls.push - pulls.yields * second
    third = tension(pulls.stretch + 2 / 3 * moved + square / 27 * (7 * gaining_2 - gaining))
    gaining_3 = pulls.push - pulls.yields * third
    fourth = tension(
        pulls.stretch + moved + square / 70 * (21 * gaining - 4 * gaining_2 + 18 * gaining_3)
    )
    impulse = step / 336 * (14 * now + 125 * second + 162 * third + 35 * fourth)
    shift = square / 336 * (14 * now + 100 * second + 54 * third)
    pulls.stretch += moved + square / 2 * pulls.push - pulls.yields * shift
    pulls.rate += step * pulls.push - pulls.yields * impulse
    pulls.casualty_travel += step * pulls.casualty_speed
    pulls.casualty_travel += pulls.give * (shift - square / 2 * pulls.resistance)
    pulls.casualty_speed += pulls.give * (impulse - step * pulls.resistance)
    pulls.time += step


# --- events -----------------------------------------------------------------------------


def _arrive(pulls: Pulls, event, law: Law, history):
    """What happens at the events that these pulls have arrived at."""
    _strike(pulls, event == _CLOCK, law, history)
    pulls.rate[event == _TURN] = 0.0
    stick = event == _STICK
    pulls.casualty_speed[stick] = 0.0
    pulls.give[stick] = 0.0

    there = event == _AT_TARGET
    here = np.where(there, pulls.awaits, _NOWHERE)
    pulls.stretch[there] = pulls.target[there]
    pulls.taut[here == _TAUT] = 1.0
    slack = here == _SLACK
    pulls.taut[slack] = 0.0
    pulls.lost_in_rope[slack] += (pulls.loss * pulls.held)[slack]
    pulls.held[slack | (here == _REJOIN)] = 0.0
    free = here == _BREAKOUT
    pulls.give[free] = pulls.mass_ratio[free]

    tension = law.tension_now(pulls)
    risen = tension > pulls.peak
    pulls.peak[risen] = tension[risen]
    pulls.peak_time[risen] = pulls.time[risen]
    energy = law.curve.energy_at(np.clip(pulls.stretch, 0.0, 1.0))
    part = here == _PART
    pulls.let_go[part] = ((1 - pulls.loss) * energy)[part]
    pulls.lost_in_rope[part] += (pulls.loss * energy)[part]
    pulls.parted_at[part] = pulls.time[part]
    pulls.parted[part] = 1.0
    pulls.taut[part] = 0.0
    _aim(pulls, np.where(part, 0.0, tension), energy, law)


def _strike(pulls: Pulls, due, law: Law, history):
    """The clock: a sample is taken, the driver lets off, the pull ends."""
    pulls.time[due] = pulls.clock[due]
    travel = pulls.stretch - pulls.start + pulls.casualty_travel
    samples = history.shape[1]
    if samples:
        _sample(pulls, travel, due, law, history)
    over = pulls.time >= pulls.end
    off = over | (pulls.time >= pulls.cutoff)
    pulls.from_drive[off] += (pulls.drive * travel)[off]
    pulls.drive[off] = 0.0
    pulls.cutoff[off] = _NEVER
    pulls.clock[:] = np.minimum(pulls.cutoff, pulls.end)
    if samples:
        pulls.clock[:] = np.minimum(pulls.clock, _sample_time(pulls, samples))
    # A pull that has ended stays where it is until it is taken out.
    pulls.ended[over] = 1.0
    pulls.clock[over] = _NEVER
    pulls.soon[over] = -1.0


def _sample_time(pulls: Pulls, samples: int):
    return pulls.end * np.minimum(pulls.sample / (samples - 1), 1.0)


def _sample(pulls: Pulls, travel, due, law: Law, history):
    samples = history.shape[1]
    due = due & (pulls.sample < samples) & (pulls.time >= _sample_time(pulls, samples))
    state = (
        law.tension_now(pulls),
        pulls.stretch,
        pulls.rate + pulls.casualty_speed,
        pulls.casualty_speed,
        travel,
        np.maximum(pulls.casualty_travel, 0.0),
    )
    place = pulls.sample[due].astype(int), pulls.number[due].astype(int)
    for row, values in zip(history, state, strict=True):
        row[place] = values[due]
    pulls.sample[due] += 1


def _aim(pulls: Pulls, tension, energy, law: Law):
    """Which way each pull goes on, and what it will come to that way."""
    _set_forces(pulls)
    onward = np.where(pulls.rate == 0, pulls.push - pulls.yields * tension, pulls.rate)
    pulls.heading[:] = np.where(onward < 0, -1.0, 1.0)
    taut, stretching = pulls.taut > 0, pulls.heading > 0
    back = taut & ~stretching & (pulls.held == 0) & (pulls.loss > 0)
    pulls.held[back] = energy[back]
    pulls.turned[back] = pulls.stretch[back]
    free = taut & stretching & (tension >= pulls.breakout * (1 - _EQUAL))
    pulls.give[free] = pulls.mass_ratio[free]
    _set_forces(pulls)

    pulls.target[:] = pulls.heading * _NEVER
    pulls.awaits[:] = _NOWHERE
    _await(pulls, ~taut & (pulls.parted == 0) & stretching, _TAUT, 0.0)
    _await(pulls, taut & ~stretching, _SLACK, 0.0)
    loading = taut & stretching
    _await(pulls, loading, _PART, pulls.parting)
    _await(pulls, loading & (pulls.held > 0), _REJOIN, pulls.turned)
    stuck = loading & (pulls.give == 0)
    _await(pulls, stuck & (pulls.held == 0), _BREAKOUT, pulls.breakout_stretch)
    again = np.flatnonzero(stuck & (pulls.held > 0) & (pulls.breakout_stretch < pulls.turned))
    if len(again):
        some = pulls.only(again)
        _await(some, True, _BREAKOUT, _breakout_on_the_way_back(some, law.curve))
        pulls.table[:, again] = some.table


def _set_forces(pulls: Pulls):
    pulls.push[:] = pulls.drive + pulls.give * pulls.resistance
    pulls.yields[:] = 1 + pulls.give
    back = pulls.held > 0
    pulls.faded[:] = np.where(back, 2 * pulls.loss, 0.0)
    pulls.regained[:] = np.where(back, pulls.faded / pulls.held, 0.0)
    pulls.pace[:] = np.where(pulls.ended, 0.0, pace(pulls.give, np.where(back, pulls.loss, 0.0)))


def _await(pulls: Pulls, which, event: int, place):
    """Await an event at a stretch, if it comes before what these pulls await already."""
    sooner = which & (pulls.heading * (place - pulls.target) < 0)
    pulls.target[:] = np.where(sooner, place, pulls.target)
    pulls.awaits[sooner] = event


def _breakout_on_the_way_back(pulls: Pulls, curve: LoadCurve):
    """Where a rope that is loaded again, below its last turn, comes to pull with R_b."""

    def excess(stretch):
        load = curve.load_at(stretch)
        back = 1 - pulls.faded + pulls.regained * curve.energy_at(stretch)
        slope = curve.slope_at(stretch) * back + pulls.regained * load**2
        return load * back - pulls.breakout, slope

    return rising_root(excess, 0.0, pulls.turned)


# --- the end ----------------------------------------------------------------------------


def _close(pulls: Pulls, law: Law, outcome):
    """Close the books of pulls that have ended."""
    energy = law.curve.energy_at(np.clip(pulls.stretch, 0.0, 1.0)) * pulls.taut
    back = pulls.held > 0
    part = np.where(back, energy / pulls.held, 1.0)
    recovery_speed = pulls.rate + pulls.casualty_speed
    casualty_square = np.where(
        pulls.mass_ratio > 0, pulls.casualty_speed**2 / pulls.mass_ratio, 0.0
    )
    closed = {
        "moving": (recovery_speed**2 + casualty_square) / 2,
        "stored": energy * (1 - 2 * pulls.loss + pulls.loss * part),
        "lost_in_rope": pulls.lost_in_rope + pulls.loss * np.where(back, pulls.held, energy),
        "against_ground": pulls.resistance * pulls.casualty_travel,
        # Nothing pulls a casualty back: less than nothing is an error of the steps.
        "casualty_travel": np.maximum(pulls.casualty_travel, 0.0),
    }
    number = pulls.number.astype(int)
    for name, row in zip(OUTCOME, outcome, strict=True):
        row[number] = closed[name] if name in closed else getattr(pulls, name)
