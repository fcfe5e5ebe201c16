"""Integrator: many pulls carried through time together, step by step and event by event.

Everything here is in the scaled numbers of `ScaledPull`: arrays with one entry a pull.

Between events the forces are smooth, and steps of a fixed size carry every pull on. A step is cut
short where something happens: the rope comes taut or goes slack, the stretch turns, the stuck
vehicle breaks free or sticks, the rope parts, or its load curve goes over into the next piece. So
no step crosses a kink of the forces. When the event comes is foreseen from the accelerations of the
moment; where that misses it, the next step starts close by and hits it, as exactly as it steps.
"""

from collections.abc import Callable

import numpy as np

from recoverykit.physics.load_curve import ENERGY, LOAD, SLOPE, LoadCurve, polynomial, rising_root

STEP = 0.125  # of the time in which the line swings through one radian, where it is stiffest

_SOON = 1e-7  # steps: an event that is nearer has arrived
_AHEAD = 1e-3  # of the narrowest piece of the curve: the end of a piece that is nearer is passed
_EQUAL = 1e-12  # parts by which forces may differ and still be equal
_NEVER = 1e60  # a time or a stretch that is not reached; infinity would turn into not-a-number
_TOGETHER = 16384  # pulls at once: with fewer each costs more, with more they only take memory
_PATIENCE = 4  # steps for which a pull may wait for others, to save the toll on each event
_MOST_STEPS = 1_000_000  # more than any pull within the limits of `pull_in_time` has taken

# What waits at the target of a rope that goes on stretching, or shortening.
_NOWHERE, _TAUT, _SLACK, _BREAKOUT, _REJOIN, _PART = range(6)

# The kinds of event, by what tells their time.
_AT_TARGET, _TURN, _STICK, _CLOCK = range(4)

OUTCOME = (
    "peak",
    "peak_time",
    "parted_at",  # not a number where the rope holds
    "stuck_travel",
    "stuck_speed",
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
    "stuck_speed",
    "recovery_travel",
    "stuck_travel",
)


class _Given:
    """What pulls start with, an entry a pull."""

    speed: np.ndarray
    drive: np.ndarray
    mass_ratio: np.ndarray
    breakout: np.ndarray
    resistance: np.ndarray
    start: np.ndarray
    parting: np.ndarray
    loss: np.ndarray
    end: np.ndarray
    cutoff: np.ndarray  # when the driver lets off the drive


class Pulls(_Given):
    """The state of many pulls: a row of a table for each name, a column for each pull."""

    number: np.ndarray  # of the pull among all of them
    breakout_stretch: np.ndarray
    soon: np.ndarray
    time: np.ndarray
    clock: np.ndarray  # when the driver lets off or the pull ends
    sample: np.ndarray  # the number of the next one
    stretch: np.ndarray
    rate: np.ndarray  # of stretching
    stuck_speed: np.ndarray
    stuck_travel: np.ndarray
    give: np.ndarray  # the mass ratio while the stuck vehicle moves, 0 while it stands
    heading: np.ndarray  # 1 while the rope stretches, −1 while it shortens
    taut: np.ndarray  # 1 or 0, as the next two
    parted: np.ndarray
    ended: np.ndarray
    held: np.ndarray  # work of loading up to where the stretch turned; 0 on the loading curve
    turned: np.ndarray  # that stretch
    target: np.ndarray
    awaits: np.ndarray
    peak: np.ndarray
    peak_time: np.ndarray
    parted_at: np.ndarray
    from_drive: np.ndarray
    lost_in_rope: np.ndarray
    let_go: np.ndarray
    # What the steps until the next event have in common.
    push: np.ndarray  # on the stretch, while the tension pulls back with `yields` times itself
    yields: np.ndarray
    share: np.ndarray  # of the tension's pull on the stretch that moves the stuck vehicle
    drift: np.ndarray  # acceleration of the stuck vehicle less that share
    noise: np.ndarray  # a slowing of the stuck vehicle that may be a rounding
    faded: np.ndarray  # tension on the way back: load · (1 − faded + regained · energy)
    regained: np.ndarray
    pace: np.ndarray  # the longest step on a piece of slope 1

    def __init__(self, table: np.ndarray):
        self.table = table
        vars(self).update(zip(_STATE, table, strict=True))

    def only(self, which) -> "Pulls":
        """These pulls alone, as a copy."""
        return Pulls(self.table[:, which])


GIVEN = tuple(_Given.__annotations__)
_STATE = (*GIVEN, *Pulls.__annotations__)


def integrate(curve: LoadCurve, given: dict[str, np.ndarray], samples: int):
    """Carry pulls to their ends: their outcome and, at `samples` equal times, their history.

    `given` holds one flat array for each name in GIVEN. The outcome has a row for each name in
    OUTCOME; the history has them for HISTORY, then the samples, then the pulls.
    """
    law = TensionModel(curve)
    size = len(given["end"])
    outcome = np.empty((len(OUTCOME), size))
    history = np.full((len(HISTORY), samples, size), np.nan)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        for first in range(0, size, _TOGETHER):
            numbers = np.arange(first, min(first + _TOGETHER, size))
            pulls = _begin(law, {name: column[numbers] for name, column in given.items()}, numbers)
            _carry_on(pulls, law, outcome, history)
    return outcome, history


def _carry_on(pulls: Pulls, law: "TensionModel", outcome, history):
    """Step and arrive until all have ended."""
    _arrive(pulls, np.full(len(pulls.time), _CLOCK), law)
    for count in range(_MOST_STEPS):
        which, waits = _step_on(pulls, law, history)
        if not len(which) or (count % _PATIENCE and 8 * len(which) < len(pulls.time)):
            continue
        some = pulls.only(which)
        _arrive(some, np.argmin(np.abs(waits[:, which]), axis=0), law)
        pulls.table[:, which] = some.table
        ended = pulls.ended > 0
        if np.count_nonzero(ended) > len(ended) // 8:
            _close(pulls.only(ended), law, outcome)
            pulls = pulls.only(~ended)
            if not len(pulls.time):
                return
    raise RuntimeError("these pulls come to no end; please tell the makers of this course")


def _begin(law: "TensionModel", given: dict[str, np.ndarray], numbers) -> Pulls:
    """Pulls at the moment at which their ropes come taut."""
    pulls = Pulls(np.zeros((len(_STATE), len(numbers))))
    for name, column in given.items():
        getattr(pulls, name)[:] = column
    stretch = law.curve.stretch_at(np.minimum(pulls.breakout, 1.0))
    pulls.breakout_stretch[:] = np.where(pulls.breakout <= 1, stretch, np.inf)
    pulls.number[:] = numbers
    pulls.soon[:] = _SOON * law.shortest_step(pulls.mass_ratio)
    pulls.stretch[:] = pulls.start
    pulls.rate[:] = pulls.speed
    pulls.heading[:] = pulls.taut[:] = 1.0
    pulls.parted_at[:] = np.nan
    return pulls


# --- the forces -------------------------------------------------------------------------


class TensionModel:
    """The rope's tension: a polynomial on each piece of its curve, and none while it is slack."""

    def __init__(self, curve: LoadCurve):
        self.curve = curve
        self._inner = curve.knots[1:-1]
        self._margin = _AHEAD * np.min(np.diff(curve.knots))
        # One more piece is the slack rope, without load and without end.
        self._slack = len(curve.knots)
        load, energy, _ = curve.pieces
        self._load = [np.append(row, [0.0, 0.0]) for row in load]
        self._energy = [np.append(row, [0.0, 0.0]) for row in energy]
        self._first = np.append(curve.knots[:-1], [0.0, 0.0])
        self._ends = np.append(curve.knots, [-_NEVER, _NEVER])  # of piece n: entries n and n + 1
        steepest = np.maximum.accumulate(curve.slopes[1])
        self._step = np.append(1 / np.sqrt(steepest), [_NEVER, _NEVER])

    def piece(self, pulls: Pulls) -> np.ndarray:
        """The piece of the curve on which each rope goes on from where it is."""
        ahead = pulls.stretch + self._margin * pulls.heading
        piece = self._inner.searchsorted(ahead, side="right")
        return np.where(pulls.taut, piece, self._slack)

    def first(self, piece):
        """The stretch at which each piece begins."""
        return self._first.take(piece)

    def tension(self, pulls: Pulls, piece) -> Callable:
        """Tension as a function of the place on a piece, good for a little beyond it."""
        load = [row.take(piece) for row in self._load]
        if not pulls.regained.any():
            return lambda place: polynomial(load, place)
        energy = [row.take(piece) for row in self._energy]

        def on_the_way_back(place):
            left = polynomial(energy, place)
            left *= pulls.regained
            left += 1 - pulls.faded
            left *= polynomial(load, place)
            return left

        return on_the_way_back

    def tension_now(self, pulls: Pulls):
        """Tension where each rope is."""
        piece = self.piece(pulls)
        return self.tension(pulls, piece)(pulls.stretch - self.first(piece))

    def gap(self, pulls: Pulls, piece):
        """How far each rope is from the end of its piece."""
        return pulls.heading * (self._ends.take(piece + (pulls.heading > 0)) - pulls.stretch)

    def longest_step(self, pulls: Pulls, piece):
        """The longest step on a piece."""
        return pulls.pace * self._step.take(piece)

    def shortest_step(self, mass_ratio):
        """The shortest step on all pieces."""
        return pace(mass_ratio) * np.min(self._step)


def pace(give):
    """The longest step on a piece of slope 1."""
    return STEP / np.sqrt(1 + give)


# --- a step -----------------------------------------------------------------------------


def _step_on(pulls: Pulls, law: TensionModel, history):
    """One step for every pull but those that have arrived at an event: which, and their waits."""
    piece = law.piece(pulls)
    place = pulls.stretch - law.first(piece)
    tension = law.tension(pulls, piece)
    now = tension(place)
    gaining = pulls.push - pulls.yields * now

    waits, end = _waits(pulls, law.gap(pulls, piece), now, gaining)
    wait = np.minimum.reduce(waits)
    arrived = np.abs(wait) <= pulls.soon
    longest = law.longest_step(pulls, piece)
    step = np.minimum(np.minimum(wait, end), longest)
    step = np.maximum(step, -longest)
    step[arrived] = 0.0
    stages = _stages(pulls, tension, place, step, gaining)
    if history.size:
        _sample(pulls, law, piece, step, stages, history)
    _advance(pulls, step, stages)
    return arrived.nonzero()[0], waits


def _waits(pulls: Pulls, piece_gap, now, gaining):
    """How long until each kind of event, and until the target or the end of the piece.

    Worked out as if the accelerations stayed what they are. An event that was just passed is a
    little while ago, a negative time.
    """
    waits = np.empty((4, len(now)))
    rate, gaining = pulls.heading * pulls.rate, pulls.heading * gaining
    gap = pulls.heading * (pulls.target - pulls.stretch)
    near = np.minimum(gap, piece_gap)
    # Where the root is not real the stretch turns first, and that wait is shorter or past.
    square = np.maximum(rate * rate + 2 * gaining * near, 0.0)
    reach = near / np.maximum((rate + np.sqrt(square)) / 2, 1 / _NEVER)
    slowing = pulls.give * (pulls.resistance - now)
    waits[_AT_TARGET] = np.where(gap <= piece_gap, reach, _NEVER)
    waits[_TURN] = np.where(gaining < 0, -rate / gaining, _NEVER)
    waits[_STICK] = np.where(slowing > pulls.noise, pulls.stuck_speed / slowing, _NEVER)
    waits[_CLOCK] = pulls.clock - pulls.time
    return waits, reach


def _stages(pulls: Pulls, tension: Callable, place, step, gaining):
    """The accelerations of the stretch at 0, 1/5, 2/3 and all of a step: Nyström's, of order 5."""
    square = step * step
    moved = step * pulls.rate

    def gaining_at(place):
        return pulls.push - pulls.yields * tension(place)

    second = gaining_at(place + moved / 5 + square / 50 * gaining)
    third = gaining_at(place + 2 / 3 * moved + square / 27 * (7 * second - gaining))
    fourth = gaining_at(place + moved + square / 70 * (21 * gaining - 4 * second + 18 * third))
    return gaining, second, third, fourth


def _advance(pulls: Pulls, step, stages):
    """Move both vehicles by the integrals of the acceleration over a step.

    Momentum is kept to the last digit, as one integral moves both.
    """
    first, second, third, fourth = stages
    square = step * step
    impulse = step / 336 * (14 * first + 125 * second + 162 * third + 35 * fourth)
    shift = square / 336 * (14 * first + 100 * second + 54 * third)
    pulls.stretch += step * pulls.rate + shift
    pulls.rate += impulse
    pulls.stuck_travel += step * pulls.stuck_speed
    pulls.stuck_travel += square / 2 * pulls.drift - pulls.share * shift
    pulls.stuck_speed += step * pulls.drift - pulls.share * impulse
    pulls.time += step


# Nyström's weights are those of the cubic through the four accelerations. Powers of the part of
# a step, in rows, for the cubic itself, its first and its second integral.
_CUBIC = np.linalg.inv(np.vander([0, 1 / 5, 2 / 3, 1], increasing=True))
_POWERS = np.arange(4)[:, np.newaxis]


def _sample(pulls: Pulls, law: TensionModel, piece, step, stages, history):
    """Write down the samples that fall into a step."""
    samples = history.shape[1]
    reached = (pulls.time + step + pulls.soon) / pulls.end * (samples - 1)
    reached = np.minimum(np.floor(reached).astype(int), samples - 1)
    count = np.where(step > 0, np.maximum(reached + 1 - pulls.sample, 0), 0).astype(int)
    which = np.repeat(np.arange(len(count)), count)
    if not len(which):
        return
    some = pulls.only(which)
    sample = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
    sample = some.sample.astype(int) + sample
    pulls.sample += count

    spent = some.end * (sample / (samples - 1)) - some.time
    part = spent / step[which]
    cubic = _CUBIC @ np.array([stage[which] for stage in stages]) * part**_POWERS
    impulse = spent * np.sum(cubic / (_POWERS + 1), axis=0)
    shift = spent**2 * np.sum(cubic / ((_POWERS + 1) * (_POWERS + 2)), axis=0)
    stretch = some.stretch + spent * some.rate + shift
    stuck_speed = some.stuck_speed + spent * some.drift - some.share * impulse
    stuck_travel = some.stuck_travel + spent * some.stuck_speed
    stuck_travel += spent**2 / 2 * some.drift - some.share * shift
    tension = law.tension(some, piece[which])(stretch - law.first(piece[which]))
    history[:, sample, some.number.astype(int)] = (
        np.maximum(tension, 0.0),
        stretch,
        some.rate + impulse + stuck_speed,
        np.maximum(stuck_speed, 0.0),
        stretch - some.start + stuck_travel,
        np.maximum(stuck_travel, 0.0),
    )


# --- events -----------------------------------------------------------------------------


def _arrive(pulls: Pulls, event, law: TensionModel):
    """What happens at the events that these pulls have arrived at."""
    clock = event == _CLOCK
    if clock.any():
        _strike(pulls, clock)
    pulls.rate[event == _TURN] = 0.0
    stick = event == _STICK
    pulls.stuck_speed[stick] = 0.0
    pulls.give[stick] = 0.0

    there = event == _AT_TARGET
    here = np.where(there, pulls.awaits, _NOWHERE)
    pulls.stretch[there] = pulls.target[there]
    pulls.taut[here == _TAUT] = 1.0
    slack = here == _SLACK
    pulls.taut[slack] = 0.0
    pulls.lost_in_rope[slack] += pulls.loss[slack] * pulls.held[slack]
    pulls.held[slack | (here == _REJOIN)] = 0.0
    free = here == _BREAKOUT
    pulls.give[free] = pulls.mass_ratio[free]

    tension = law.tension_now(pulls)
    risen = tension > pulls.peak
    pulls.peak[risen] = tension[risen]
    pulls.peak_time[risen] = pulls.time[risen]
    energy = law.curve.energy_at(np.clip(pulls.stretch, 0.0, 1.0))
    part = here == _PART
    if part.any():
        _let_go(pulls, part, energy)
        tension[part] = 0.0
    _aim(pulls, tension, energy, law)


def _let_go(pulls: Pulls, part, energy):
    """The rope parts: what it holds is let go."""
    pulls.let_go[part] = ((1 - pulls.loss) * energy)[part]
    pulls.lost_in_rope[part] += (pulls.loss * energy)[part]
    pulls.parted_at[part] = pulls.time[part]
    pulls.parted[part] = 1.0
    pulls.taut[part] = 0.0


def _strike(pulls: Pulls, due):
    """The clock: the driver lets off, or the pull ends."""
    pulls.time[due] = pulls.clock[due]
    over = pulls.time >= pulls.end
    off = over | (pulls.time >= pulls.cutoff)
    travel = pulls.stretch - pulls.start + pulls.stuck_travel
    pulls.from_drive[off] += pulls.drive[off] * travel[off]
    pulls.drive[off] = 0.0
    pulls.cutoff[off] = _NEVER
    pulls.clock[:] = np.minimum(pulls.cutoff, pulls.end)
    # A pull that has ended stays where it is until it is taken out.
    pulls.ended[over] = 1.0
    pulls.clock[over] = _NEVER
    pulls.soon[over] = -1.0


def _aim(pulls: Pulls, tension, energy, law: TensionModel):
    """Which way each pull goes on, and what it will come to that way."""
    taut = pulls.taut > 0
    free = taut & (tension >= pulls.breakout * (1 - _EQUAL))
    pulls.give[free] = pulls.mass_ratio[free]
    gaining = pulls.drive + pulls.give * pulls.resistance - (1 + pulls.give) * tension
    stretching = np.where(pulls.rate == 0, gaining, pulls.rate) >= 0
    pulls.heading[:] = np.where(stretching, 1.0, -1.0)
    back = taut & ~stretching & (pulls.held == 0) & (pulls.loss > 0)
    pulls.held[back] = energy[back]
    pulls.turned[back] = pulls.stretch[back]
    _set_forces(pulls)

    loading, held = taut & stretching, pulls.held > 0
    pulls.target[:] = np.where(loading, np.where(held, pulls.turned, pulls.parting), 0.0)
    loads, rests = np.where(held, _REJOIN, _PART), np.where(taut, _SLACK, _TAUT)
    pulls.awaits[:] = np.where(loading, loads, rests)
    nothing = ~taut & (~stretching | (pulls.parted > 0))
    pulls.target[nothing] = _NEVER * pulls.heading[nothing]
    pulls.awaits[nothing] = _NOWHERE
    breaks_out = loading & (pulls.give == 0) & (pulls.breakout_stretch < pulls.target)
    pulls.target[breaks_out] = pulls.breakout_stretch[breaks_out]
    pulls.awaits[breaks_out] = _BREAKOUT
    later = np.flatnonzero(breaks_out & held)
    if len(later):
        pulls.target[later] = _breakout_on_the_way_back(law.curve, pulls.only(later))


def _set_forces(pulls: Pulls):
    pulls.push[:] = pulls.drive + pulls.give * pulls.resistance
    pulls.yields[:] = 1 + pulls.give
    pulls.share[:] = pulls.give / pulls.yields
    pulls.drift[:] = pulls.share * pulls.push - pulls.give * pulls.resistance
    pulls.noise[:] = 20 * _EQUAL * pulls.give * pulls.resistance
    back = pulls.held > 0
    pulls.faded[:] = np.where(back, 2 * pulls.loss, 0.0)
    pulls.regained[:] = np.where(back, pulls.faded / pulls.held, 0.0)
    pulls.pace[:] = np.where(pulls.ended, 0.0, pace(pulls.give))


def _breakout_on_the_way_back(curve: LoadCurve, pulls: Pulls):
    """Where a rope that is loaded again, below its last turn, comes to pull with R_b."""

    def excess(stretch):
        load, energy, slope = curve.look_up(stretch, LOAD, ENERGY, SLOPE)
        back = 1 - pulls.faded + pulls.regained * energy
        return load * back - pulls.breakout, slope * back + pulls.regained * load**2

    return rising_root(excess, 0.0, pulls.turned)


# --- the end ----------------------------------------------------------------------------


def _close(pulls: Pulls, law: TensionModel, outcome):
    """Close the books of pulls that have ended."""
    energy = law.curve.energy_at(np.clip(pulls.stretch, 0.0, 1.0)) * pulls.taut
    back = pulls.held > 0
    part = np.where(back, energy / pulls.held, 1.0)
    recovery_speed = pulls.rate + pulls.stuck_speed
    stuck_square = np.where(pulls.mass_ratio > 0, pulls.stuck_speed**2 / pulls.mass_ratio, 0.0)
    closed = {
        "moving": (recovery_speed**2 + stuck_square) / 2,
        "stored": energy * (1 - 2 * pulls.loss + pulls.loss * part),
        "lost_in_rope": pulls.lost_in_rope + pulls.loss * np.where(back, pulls.held, energy),
        "against_ground": pulls.resistance * pulls.stuck_travel,
        # Nothing pulls a stuck vehicle back: less than nothing is an error of the steps.
        "stuck_travel": np.maximum(pulls.stuck_travel, 0.0),
    }
    number = pulls.number.astype(int)
    for name, row in zip(OUTCOME, outcome, strict=True):
        row[number] = closed[name] if name in closed else getattr(pulls, name)
