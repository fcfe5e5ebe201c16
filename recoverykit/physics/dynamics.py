"""Motion: a pull in time, for one pull or for many at once, and where its energy goes."""

from dataclasses import dataclass

import numpy as np

from recoverykit.physics.integrator import GIVEN, HISTORY, OUTCOME, TensionModel, integrate
from recoverykit.physics.pull import Pull, ScaledPull
from recoverykit.units.quantities import InputError, Q, show
from recoverykit.units.validation import from_si, positive, to_si

TWO_SECONDS = Q(2.0, "s")
MOST_STEPS = 20_000  # in one pull; a few seconds take a few hundred
MOST_SAMPLES = 10_000


# --- results ----------------------------------------------------------------------------


@dataclass(frozen=True)
class History:
    """A pull sampled at equal times; the first axis of every array is the time."""

    time: Q
    tension: Q
    extension: Q  # negative while the rope is slack
    recovery_speed: Q
    stuck_speed: Q
    recovery_travel: Q
    stuck_travel: Q


@dataclass(frozen=True)
class EnergyBalance:
    """Where the energy of a pull came from and where it is in the end."""

    moving_before: Q
    stored_before: Q
    from_drive: Q  # negative if the recovery vehicle was pulled back against its drive
    moving: Q
    stored: Q  # what the rope would still give back
    lost_in_rope: Q
    let_go: Q  # what the rope held as it parted, less what it had lost
    against_ground: Q

    @property
    def brought(self):
        """All that came in."""
        return (
            self.moving_before + self.stored_before + np.maximum(self.from_drive, 0 * self.moving)
        )

    @property
    def imbalance(self):
        """What came in less what is there: the error of the integration."""
        found = self.moving + self.stored + self.lost_in_rope + self.let_go + self.against_ground
        return self.moving_before + self.stored_before + self.from_drive - found


@dataclass(frozen=True)
class Motion:
    """What a pull came to by the end of its duration. Arrays if the pull holds arrays.

    Where `peak_is_past` is False the tension was still rising then, beyond all before: `peak` is
    only what it had come to.
    """

    peak: Q
    peak_time: Q
    peak_is_past: bool
    parts: bool
    parts_at: Q  # not a number where the rope holds
    stuck_travel: Q
    stuck_speed: Q
    energy: EnergyBalance
    history: History | None

    @property
    def sentence(self) -> str:
        """The outcome of a single pull in words."""
        if np.ndim(self.parts):
            raise InputError("Motion.sentence: there are many pulls here; ask a single one")
        if self.parts:
            return (
                f"The rope parts at t = {show(self.parts_at, 'time')}, "
                f"under {show(self.peak, 'force')}."
            )
        if not self.peak_is_past:
            return (
                f"The tension has come to {show(self.peak, 'force')} by "
                f"{show(self.peak_time, 'time')}, and still rises: the pull was not followed to "
                f"its peak."
            )
        peak = f"The tension peaks at {show(self.peak, 'force')}, {show(self.peak_time, 'time')}"
        travel = show(self.stuck_travel, "length")
        if self.stuck_travel.m == 0:
            return f"{peak} after the rope came taut. The other end does not move."
        still = " and still moves" if self.stuck_speed.m > 0 else ""
        return f"{peak} after the rope came taut. The stuck vehicle has moved {travel}{still}."


# --- the public function ----------------------------------------------------------------


def pull_in_time(pull: Pull, duration=None, drive_time=None, samples: int = 0) -> Motion:
    """Follow a pull from the moment at which its rope comes taut.

        m1 x1'' = D − T,  m2 x2'' = T − R_m while the stuck vehicle moves, x = x1 − x2

    with T after `Rope`'s loading and unloading curves, and 0 while x < 0. A stuck vehicle that
    stands breaks free where T reaches R_b; one that comes to rest sticks until T reaches R_b again.
    `duration` (2 s if left out) and `drive_time`, after which the driver lets off the drive, are
    quantities or arrays; with `samples` (2 to 10 000) the result holds a history at that many
    equal times. Range as for `Pull`; the duration may take at most 20 000 steps. Raises
    InputError otherwise. A rope that parts is a result: the tension is 0 from then on, and the
    vehicles roll on.
    Over a few swings the peak and the travel are good to 1e-5 and the energies balance to 1e-6
    of what came in, unless a piece of the load curve is 100 times as steep as another.
    Source: Nyström's method of order 5, in Hairer, Nørsett & Wanner, Solving Ordinary
    Differential Equations I, section II.14 (memory, sure); tests measure its order.

    >>> from recoverykit.physics.rope import Rope
    >>> rope = Rope(Q(11, "m"), Q(165, "kN"), Q(30, "percent"))
    >>> pull = Pull(Q(3100, "kg"), rope, Q(5, "km/h"), stuck_mass=Q(1850, "kg"),
    ...             breakout_resistance=Q(12, "kN"), moving_resistance=Q(8, "kN"))
    >>> print(pull_in_time(pull).sentence)
    The tension peaks at 15.3 kN, 0.317 s after the rope came taut. The stuck vehicle has moved
    0.319 m.
    """
    if not isinstance(pull, Pull):
        raise InputError(
            f"pull_in_time: pull: {pull!r:.60} is not a Pull; write for example "
            f'pull=Pull(Q(2500, "kg"), rope, Q(5, "km/h"))'
        )
    given = {"duration": TWO_SECONDS if duration is None else duration}
    if drive_time is not None:
        given["drive_time"] = drive_time
    si = to_si("pull_in_time", {name: positive("time") for name in given}, given)
    _check_samples(samples)
    columns = _columns(pull, si["duration"], si.get("drive_time", np.inf))
    outcome, history = integrate(
        pull.rope.curve, {name: np.ravel(column) for name, column in columns.items()}, samples
    )
    shape = columns["end"].shape
    outcome = dict(zip(OUTCOME, outcome.reshape(-1, *shape), strict=True))
    return _motion(pull, columns, outcome, history.reshape(len(HISTORY), samples, *shape))


def _check_samples(samples):
    whole = isinstance(samples, int) and not isinstance(samples, bool)
    if not (whole and (samples == 0 or 2 <= samples <= MOST_SAMPLES)):
        raise InputError(
            f"pull_in_time: samples: {samples!r:.60} is neither 0 nor a whole number from 2 to "
            f"{MOST_SAMPLES}; write for example samples=200"
        )


def _columns(pull: Pull, duration, drive_time) -> dict[str, np.ndarray]:
    """The scaled pulls, each column in the shape of all of them together."""
    scaled = pull.scaled
    columns = {"end": duration / scaled.time, "cutoff": drive_time / scaled.time}
    columns |= {name: getattr(scaled, name) for name in GIVEN if name not in columns}
    try:
        arrays = np.broadcast_arrays(*(np.asarray(value, float) for value in columns.values()))
    except ValueError:
        raise InputError(
            "pull_in_time: the lists of duration, drive_time and pull do not fit together; give "
            "them equal lengths"
        ) from None
    columns = dict(zip(columns, arrays, strict=True))
    steps = columns["end"] / TensionModel(pull.rope.curve).shortest_step(columns["mass_ratio"])
    if np.any(steps > MOST_STEPS):
        longest = np.min(columns["end"] * scaled.time * MOST_STEPS / steps)
        raise InputError(
            f"pull_in_time: duration: so stiff a line swings too often in that time; ask for at "
            f"most {show(Q(longest, 's'), 'time')}"
        )
    return columns


def _motion(pull: Pull, columns, outcome, history) -> Motion:
    """The scaled outcome as a record of quantities."""
    scaled = pull.scaled
    speed = scaled.length / scaled.time
    work = {name: outcome[name] for name in EnergyBalance.__dataclass_fields__ if name in outcome}
    work["moving_before"] = columns["speed"] ** 2 / 2
    work["stored_before"] = pull.rope.curve.energy_at(columns["start"])
    parts = ~np.isnan(outcome["parted_at"])
    # The last event of each pull is its end: a peak at that moment is one that still rises.
    past = parts | (outcome["peak_time"] < columns["end"])
    return Motion(
        peak=from_si(outcome["peak"] * scaled.force, "force"),
        peak_time=from_si(outcome["peak_time"] * scaled.time, "time"),
        peak_is_past=past if past.ndim else bool(past),
        parts=parts if parts.ndim else bool(parts),
        parts_at=from_si(outcome["parted_at"] * scaled.time, "time"),
        stuck_travel=from_si(outcome["stuck_travel"] * scaled.length, "length"),
        stuck_speed=from_si(outcome["stuck_speed"] * speed, "speed"),
        energy=EnergyBalance(
            **{
                name: from_si(value * scaled.force * scaled.length, "energy")
                for name, value in work.items()
            }
        ),
        history=_history(columns["end"], history, scaled) if history.shape[1] else None,
    )


def _history(end, history, scaled: ScaledPull) -> History:
    samples = history.shape[1]
    time = np.linspace(0, 1, samples).reshape(-1, *[1] * np.ndim(end)) * end
    speed = scaled.length / scaled.time
    scales = {
        "tension": (scaled.force, "force"),
        "extension": (scaled.length, "length"),
        "recovery_speed": (speed, "speed"),
        "stuck_speed": (speed, "speed"),
        "recovery_travel": (scaled.length, "length"),
        "stuck_travel": (scaled.length, "length"),
    }
    rows = dict(zip(HISTORY, history, strict=True))
    return History(
        time=from_si(time * scaled.time, "time"),
        **{name: from_si(rows[name] * scale, kind) for name, (scale, kind) in scales.items()},
    )
