"""Motion: a pull in time, for one pull or for many at once."""

from dataclasses import dataclass
from types import SimpleNamespace

import numpy as np

from recoverykit.physics.integrator import HISTORY, integrate, taut_step
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
    history: History | None


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
    Over a few swings the peak and the energies are good to 1e-4 and the travel to 1e-3; where the
    load curve turns up by a sharp knee (10 times as steep) only a tenth as good.
    Source: Nyström's method of order 4, in Hairer, Nørsett & Wanner, Solving Ordinary
    Differential Equations I, section II.14 (memory, sure); tests measure its order.

    >>> from recoverykit.physics.rope import Rope
    >>> rope = Rope(Q(11, "m"), Q(165, "kN"), Q(30, "percent"))
    >>> pull = Pull(Q(3100, "kg"), rope, Q(5, "km/h"), stuck_mass=Q(1850, "kg"),
    ...             breakout_resistance=Q(12, "kN"), moving_resistance=Q(8, "kN"))
    >>> motion = pull_in_time(pull)
    >>> print(show(motion.peak, "force"), show(motion.stuck_travel, "length"))
    15.3 kN 0.319 m
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
    state, history = integrate(
        pull.rope.curve,
        SimpleNamespace(**{name: np.ravel(column) for name, column in columns.items()}),
        samples,
    )
    return _motion(pull.scaled, columns["end"], state, history)


def _check_samples(samples):
    whole = isinstance(samples, int) and not isinstance(samples, bool)
    if not (whole and (samples == 0 or 2 <= samples <= MOST_SAMPLES)):
        raise InputError(
            f"pull_in_time: samples: {samples!r:.60} is neither 0 nor a whole number from 2 to "
            f"{MOST_SAMPLES}; write for example samples=200"
        )


def _columns(pull: Pull, duration, drive_time) -> dict[str, np.ndarray]:
    """What `integrate` takes, each in the shape of all the pulls together."""
    scaled = pull.scaled
    columns = {"end": duration / scaled.time, "cutoff": drive_time / scaled.time}
    names = ("speed", "drive", "mass_ratio", "breakout", "resistance", "parting", "loss")
    columns |= {name: getattr(scaled, name) for name in names}
    try:
        arrays = np.broadcast_arrays(*(np.asarray(value, float) for value in columns.values()))
    except ValueError:
        raise InputError(
            "pull_in_time: the lists of duration, drive_time and pull do not fit together; give "
            "them equal lengths"
        ) from None
    columns = dict(zip(columns, arrays, strict=True))
    longest = MOST_STEPS * taut_step(pull.rope.curve, columns["mass_ratio"])
    if np.any(columns["end"] > longest):
        raise InputError(
            f"pull_in_time: duration: so stiff a line swings too often in that time; ask for at "
            f"most {show(Q(np.min(longest * scaled.time), 's'), 'time')}"
        )
    return columns


def _motion(scaled: ScaledPull, end: np.ndarray, state, history) -> Motion:
    """The scaled outcome as a record of quantities."""

    def quantity(values, scale, kind):
        return from_si(values.reshape((*values.shape[:-1], *end.shape)) * scale, kind)

    def flag(values):
        return values.reshape(end.shape) if end.ndim else bool(values[0])

    scales = {
        "time": (scaled.time, "time"),
        "tension": (scaled.force, "force"),
        "extension": (scaled.length, "length"),
        "travel": (scaled.length, "length"),
        "speed": (scaled.length / scaled.time, "speed"),
    }
    times = np.linspace(0, end.ravel(), history.shape[1])
    parts = ~np.isnan(state.parted_at)
    return Motion(
        peak=quantity(state.peak, *scales["tension"]),
        peak_time=quantity(state.peak_time, *scales["time"]),
        # A tension that is greatest at the very end still rises.
        peak_is_past=flag(parts | (state.peak_time < state.time)),
        parts=flag(parts),
        parts_at=quantity(state.parted_at, *scales["time"]),
        stuck_travel=quantity(state.travel, *scales["travel"]),
        stuck_speed=quantity(state.stuck_speed, *scales["speed"]),
        history=History(
            time=quantity(times, *scales["time"]),
            **{
                name: quantity(values, *scales[name.rpartition("_")[2]])
                for name, values in zip(HISTORY, history, strict=True)
            },
        )
        if len(times)
        else None,
    )
