"""Integrator: pulls carried through time together, one array entry a pull.

Everything here is in the scaled numbers of `ScaledPull`. Between events the tension is a smooth
function of the stretch, and a step takes Nyström's method of order 4: the quadratic through the
tensions at its start, middle and end is integrated once for the speeds and twice for the travels.
A step that would cross an event (the rope comes taut, goes slack or breaks, the stretch turns, the
stuck vehicle breaks free or sticks) is tried again, shorter, until it ends just behind the event.
"""

from types import SimpleNamespace

import numpy as np

from recoverykit.physics.load_curve import ENERGY, LOAD, LoadCurve

STEP = 0.15  # of the time in which the line swings through one radian, where it is stiffest
OVERSHOOT = 1e-4  # of a step: how far an event may be passed
_ROUNDING = 1e-12  # differences that are no more than rounding
_MOST_TRIALS = 1_000_000  # more than any pull within the limits of `pull_in_time` has taken

HISTORY = (
    "tension",
    "extension",
    "recovery_speed",
    "stuck_speed",
    "recovery_travel",
    "stuck_travel",
)


def taut_step(curve: LoadCurve, mass_ratio):
    """The length of a step on a taut rope; `mass_ratio` is 0 while the stuck vehicle stands."""
    return STEP / np.sqrt(np.max(curve.slopes[1]) * (1 + mass_ratio))


def integrate(curve: LoadCurve, pull: SimpleNamespace, samples: int):
    """Carry pulls to their ends: their final state, and their history at `samples` equal times.

    `pull` holds flat arrays: speed, drive, mass_ratio, breakout, resistance, parting and loss as in
    `ScaledPull`, the `end` of each pull, and `cutoff`, when the driver lets off the drive. The
    history has a row for each name in HISTORY, then the samples, then the pulls.
    """
    size = len(pull.end)
    state = SimpleNamespace(
        time=np.zeros(size),
        stretch=np.zeros(size),
        rate=pull.speed.copy(),  # of stretching
        travel=np.zeros(size),  # of the stuck vehicle
        stuck_speed=np.zeros(size),
        moves=np.zeros(size, bool),
        held=np.zeros(size),  # energy where the rope began to shorten; 0 on the loading curve
        turned=np.zeros(size),  # that stretch
        peak=np.zeros(size),
        peak_time=np.zeros(size),
        parted_at=np.full(size, np.nan),
    )
    history = np.full((len(HISTORY), samples, size), np.nan)
    sampled = np.zeros(size, int)
    shortened = np.full(size, np.inf)  # steps that are to be tried again
    with np.errstate(divide="ignore", invalid="ignore"):
        for _ in range(_MOST_TRIALS):
            _apply_events(curve, pull, state)
            if np.all(state.time >= pull.end * (1 - _ROUNDING)):
                return state, history
            step = _Step(curve, pull, state, shortened)
            before = step.length * step.part_before_event()
            passed = step.length - before > OVERSHOOT * step.taut_length
            # Aimed a little behind the event; never far shorter, as the part is an estimate.
            shorter = np.maximum(before + OVERSHOOT / 2 * step.taut_length, step.length / 8)
            shortened = np.where(passed, shorter, np.inf)
            if samples:
                _sample(step, ~passed, sampled, history)
            for name, value in step.after.items():
                getattr(state, name)[~passed] = value[~passed]
    raise RuntimeError("these pulls come to no end; please report this")


def _apply_events(curve: LoadCurve, pull, state):
    """What happens where the last step has passed an event; and the peak so far."""
    state.up = state.rate >= 0
    breaks = (state.stretch >= pull.parting) & np.isnan(state.parted_at)
    state.parted_at[breaks] = state.time[breaks]
    state.whole = np.isnan(state.parted_at)
    state.taut = (state.stretch >= 0) & state.whole
    state.held[~state.taut | (state.up & (state.stretch >= state.turned))] = 0.0
    turns = state.taut & ~state.up & (state.held == 0) & (pull.loss > 0)
    if turns.any():
        state.turned[turns] = state.stretch[turns]
        state.held[turns] = curve.energy_at(state.stretch[turns])
    state.fading = np.where(state.held > 0, 2 * pull.loss / state.held, 0.0)

    state.tension = _tension(curve, state, state.stretch)
    sticks = state.stuck_speed < -_ROUNDING
    state.stuck_speed[sticks] = 0.0
    state.moves = (state.moves & ~sticks) | (state.taut & (state.tension >= pull.breakout))
    reached = np.where(breaks, curve.load_at(pull.parting), state.tension)
    higher = reached > state.peak
    state.peak[higher] = reached[higher]
    state.peak_time[higher] = state.time[higher]


def _tension(curve: LoadCurve, state, stretch):
    """Tension at a stretch that is reached without an event."""
    stretch = np.minimum(stretch, 1.0)
    if state.fading.any():
        load, energy = curve.look_up(stretch, LOAD, ENERGY)
        load = load * (1 - state.fading * (state.held - energy))
    else:
        load = curve.load_at(stretch)
    return np.where(state.taut, load, 0.0)


class _Step:
    """The next step of every pull, as if it met no event."""

    def __init__(self, curve: LoadCurve, pull, state, shortened):
        self.curve, self.pull, self.state = curve, pull, state
        self.mass_ratio = np.where(state.moves, pull.mass_ratio, 0.0)
        driven = state.time < pull.cutoff * (1 - _ROUNDING)
        self.push = np.where(driven, pull.drive, 0.0) + self.mass_ratio * pull.resistance
        self.taut_length = taut_step(curve, self.mass_ratio)
        stop = np.where(driven, np.minimum(pull.cutoff, pull.end), pull.end)
        gain = self._gain(state.tension)
        # A rope that is slack, or at rest, needs no small steps.
        swings = state.taut & ((state.rate != 0) | (gain != 0))
        longest = np.where(swings, self.taut_length, np.inf)
        self.length = h = np.minimum(np.minimum(longest, shortened), stop - state.time)

        middle = _tension(curve, state, state.stretch + h / 2 * state.rate + h**2 / 8 * gain)
        gain = self._gain(middle)
        last = _tension(curve, state, state.stretch + h * state.rate + h**2 / 2 * gain)
        # The quadratic through the three.
        self.bend = 2 * state.tension - 4 * middle + 2 * last
        self.slope = last - state.tension - self.bend
        stretch, rate, travel, stuck_speed = self.at(1.0)
        self.after = {
            "time": state.time + h,
            "stretch": stretch,
            "rate": rate,
            "travel": travel,
            "stuck_speed": stuck_speed,
        }

    def _gain(self, tension):
        """Acceleration of the stretch."""
        return self.push - (1 + self.mass_ratio) * tension

    def at(self, part):
        """Stretch, its rate, and travel and speed of the stuck vehicle at a part of the step."""
        state, time = self.state, part * self.length
        once = time * (state.tension + part * (self.slope / 2 + part * self.bend / 3))
        twice = time**2 * (state.tension / 2 + part * (self.slope / 6 + part * self.bend / 12))
        shift = time**2 / 2 * self.push - (1 + self.mass_ratio) * twice
        moved = self.mass_ratio * (twice - time**2 / 2 * self.pull.resistance)
        return (
            state.stretch + time * state.rate + shift,
            state.rate + time * self.push - (1 + self.mass_ratio) * once,
            state.travel + time * state.stuck_speed + moved,
            state.stuck_speed + self.mass_ratio * (once - time * self.pull.resistance),
        )

    def part_before_event(self):
        """The part of the step before its first event; 1 if there is none."""
        pull, state, after = self.pull, self.state, self.after
        way = np.where(state.up, 1.0, -1.0)
        top = np.where(state.held > 0, state.turned, pull.parting)
        # A rope that is taut goes slack at 0 and one that is slack comes taut there.
        bound = np.where(state.up & state.taut, top, 0.0)
        bound = np.where(state.taut | (state.up & state.whole), bound, way * np.inf)
        stands = state.taut & ~state.moves

        def gaps(stretch, rate, stuck_speed, tension):
            return np.array(
                [
                    way * (bound - stretch),
                    way * rate,
                    np.where(state.moves, stuck_speed + _ROUNDING, np.inf),
                    np.where(stands, pull.breakout - tension, np.inf),
                ]
            )

        now = gaps(state.stretch, state.rate, state.stuck_speed, state.tension)
        tension = _tension(self.curve, state, after["stretch"])
        then = gaps(after["stretch"], after["rate"], after["stuck_speed"], tension)
        return np.min(np.where(then < 0, now / (now - then), 1.0), axis=0)


def _sample(step: _Step, accepted, sampled, history):
    """Write down the samples that fall into accepted steps; `sampled` counts those of each pull."""
    pull, state, last = step.pull, step.state, history.shape[1] - 1
    reached = np.floor((state.time + step.length) / pull.end * last + _ROUNDING).astype(int)
    count = np.where(accepted, np.minimum(reached, last) + 1 - sampled, 0)
    if not count.any():
        return
    number = sampled + np.arange(np.max(count))[:, np.newaxis]
    due = number < sampled + count
    stretch, rate, travel, stuck_speed = step.at(
        (number * pull.end / last - state.time) / step.length
    )
    values = (
        np.maximum(_tension(step.curve, state, stretch), 0.0),
        stretch,
        rate + stuck_speed,
        np.maximum(stuck_speed, 0.0),
        stretch + travel,
        travel,
    )
    pulls = np.broadcast_to(np.arange(len(count)), due.shape)
    for row, value in zip(history, values, strict=True):
        row[number[due], pulls[due]] = value[due]
    sampled += count
