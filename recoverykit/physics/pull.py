"""Pull: how hard a moving vehicle loads a stretchy line."""

import functools
from dataclasses import dataclass, field

import numpy as np

from recoverykit.physics.load_curve import ENERGY, LOAD, rising_root
from recoverykit.physics.rope import Rope
from recoverykit.units.quantities import InputError, Q, show
from recoverykit.units.validation import (
    fields_to_si,
    from_si,
    not_negative,
    positive,
    takes_quantities,
)

_NOTHING = Q(0.0, "N")


@dataclass(frozen=True)
class Peak:
    """The greatest tension of the first stretch of a pull, and what happened on the way.

    With an array of pulls each of the four is an array. Where the rope parts, tension and
    extension are those at which it does.
    """

    tension: Q
    extension: Q
    parts: bool
    stuck_moves: bool


@dataclass(frozen=True)
class Pull:
    """A recovery vehicle, a rope, and an anchor or a stuck vehicle that is held by the ground.

    The recovery vehicle of mass m1 moves at `speed` as the rope comes taut, and pushes on with
    the force `drive` (0 with the clutch down; at most what the ground gives). Without a
    `stuck_mass` the other end is an anchor that never moves. A stuck vehicle stands still until the
    tension reaches its `breakout_resistance` R_b, and then slides against its
    `moving_resistance` R_m.

    Each is a quantity, or holds an array with one entry a pull; all of them, and those of the
    rope, broadcast. Range: masses above 0; speed and forces ≥ 0; R_m ≤ R_b; no resistance with an
    anchor. Raises InputError otherwise. Straight, level pull; vehicles are stiff, the rope has no
    mass, and its tension does not depend on how fast it stretches.

    >>> rope = Rope(Q(11, "m"), Q(165, "kN"), Q(30, "percent"))
    >>> pull = Pull(Q(3100, "kg"), rope, Q(5, "km/h"), stuck_mass=Q(1850, "kg"),
    ...             breakout_resistance=Q(12, "kN"), moving_resistance=Q(8, "kN"))
    >>> print(show(pull.first_peak.tension, "force"), pull.first_peak.stuck_moves)
    15.3 kN True
    >>> anchored = Pull(Q(3100, "kg"), rope, Q(5, "km/h"))
    >>> print(show(anchored.first_peak.tension, "force"))
    17.3 kN
    """

    recovery_mass: Q
    rope: Rope
    speed: Q
    stuck_mass: Q | None = None
    drive: Q = _NOTHING
    breakout_resistance: Q = _NOTHING
    moving_resistance: Q = _NOTHING
    si: dict = field(init=False, repr=False, compare=False)

    def __post_init__(self):
        if not isinstance(self.rope, Rope):
            raise InputError(
                f"Pull: rope: {self.rope!r:.60} is not a Rope; write for example "
                f'rope=Rope(Q(9, "m"), Q(120, "kN"), Q(30, "percent"))'
            )
        stuck_vehicle = {} if self.stuck_mass is None else {"stuck_mass": positive("mass")}
        si = fields_to_si(
            self,
            recovery_mass=positive("mass"),
            speed=not_negative("speed"),
            drive=not_negative("force"),
            breakout_resistance=not_negative("force"),
            moving_resistance=not_negative("force"),
            **stuck_vehicle,
        )
        faults = _faults(si, self.rope.si, anchored=self.stuck_mass is None)
        if faults:
            raise InputError("\n  ".join(["Pull:", *faults]))
        object.__setattr__(self, "si", si)

    @functools.cached_property
    def first_peak(self) -> Peak:
        """The peak of the first stretch, from energies alone; `physics.dynamics` does the rest.

        Up to breakout (or the peak, if it comes first)

            m1 v²/2 + D x = E(x),  E(x) = ∫ T dx

        and after it, with v_s the speed at the stretch x_s where T = R_b, and the reduced mass μ,

            μ v_s²/2 + μ (D/m1 + R_m/m2) (x − x_s) = E(x) − E(x_s)

        On a straight rope, without a stuck vehicle, this is `peak_tension`. The drive is kept up
        all the while; the loss of the rope does not matter, as it comes after the peak. Source:
        work and energy, and two bodies, as in any mechanics text.
        """
        scaled = self.scaled
        stretch, parts, moves = _first_turning(self.rope.curve, scaled)
        load = self.rope.curve.load_at(stretch)
        return Peak(
            from_si(load * scaled.force, "force"),
            from_si(stretch * scaled.length, "length"),
            parts,
            moves,
        )

    @takes_quantities(returns="speed", tension=positive("force"))
    def speed_for_tension(self, tension):
        """The greatest speed at which the first peak stays within a tension.

        The inverse of `first_peak`; the speed of this pull does not matter. Just above the speed at
        which a stuck vehicle breaks free the peak can leap; a tension inside the leap belongs to
        that speed. Range: tension > 0. Raises InputError outside, where there is no such speed, and
        where the rope parts before the tension is reached.

        >>> pull = Pull(Q(3100, "kg"), Rope(Q(11, "m"), Q(165, "kN"), Q(30, "%")), Q(5, "km/h"))
        >>> print(show(pull.speed_for_tension(Q(38, "kN")), "speed"))
        11.0 km/h
        """
        stretch = self.rope.extension.si(self.rope, tension) / self.rope.si["full_extension"]
        square = 2 * _kinetic_for(self.rope.curve, self.scaled, stretch)
        if np.any(square < 0):
            limit = np.broadcast_to(tension, np.shape(square)).flat[np.argmax(square < 0)]
            raise InputError(
                f"Pull.speed_for_tension: no speed is slow enough for "
                f"{show(Q(limit, 'N'), 'force')}: without any speed the line already comes to "
                f"more; use less drive force or a higher limit"
            )
        return np.sqrt(square) * self.scaled.length / self.scaled.time

    @functools.cached_property
    def scaled(self) -> "ScaledPull":
        """The pull in numbers without units, for the computing inside."""
        pull, rope = self.si, self.rope.si
        force, length = rope["breaking_strength"], rope["full_extension"]
        time = np.sqrt(pull["recovery_mass"] * length / force)
        anchored = self.stuck_mass is None
        return ScaledPull(
            force=force,
            length=length,
            time=time,
            speed=pull["speed"] * time / length,
            drive=pull["drive"] / force,
            mass_ratio=0.0 if anchored else pull["recovery_mass"] / pull["stuck_mass"],
            breakout=np.inf if anchored else pull["breakout_resistance"] / force,
            resistance=0.0 if anchored else pull["moving_resistance"] / force,
            parting=rope["parting_stretch"],
            loss=rope["loss"],
        )


@dataclass(frozen=True)
class ScaledPull:
    """A pull measured by its own rope and recovery vehicle: what the computing works on.

    Forces are in breaking strengths, stretches in stretches at break, masses in masses of the
    recovery vehicle, and times in √(mass · stretch / strength), so that a rope and a vehicle of
    any size become numbers near 1.
    """

    force: np.ndarray | float  # N
    length: np.ndarray | float  # m
    time: np.ndarray | float  # s
    speed: np.ndarray | float
    drive: np.ndarray | float
    mass_ratio: np.ndarray | float  # recovery vehicle over stuck vehicle; 0 for an anchor
    breakout: np.ndarray | float  # infinite for an anchor
    resistance: np.ndarray | float  # of a stuck vehicle that moves
    parting: np.ndarray | float  # stretch at which the rope parts
    loss: np.ndarray | float

    def breakout_stretch(self, curve):
        """The stretch at which a stuck vehicle breaks free on loading; infinite if never."""
        stretch = curve.stretch_at(np.minimum(self.breakout, 1.0))
        return np.where(self.breakout <= 1, stretch, np.inf)

    @property
    def share(self):
        """Reduced mass over the mass of the recovery vehicle, μ / m1."""
        return 1 / (1 + self.mass_ratio)

    @property
    def push_together(self):
        """The force that stretches the rope while both vehicles move, μ (D/m1 + R_m/m2)."""
        return self.share * (self.drive + self.mass_ratio * self.resistance)


def _faults(si: dict, rope: dict, anchored: bool) -> list[str]:
    faults = []
    if anchored:
        for name in ("breakout_resistance", "moving_resistance"):
            if np.any(si[name] > 0):
                faults.append(f"{name}: an anchor has none; leave it out, or give a stuck_mass")
    elif np.any(si["moving_resistance"] > si["breakout_resistance"]):
        faults.append(
            "moving_resistance: it is above the breakout_resistance; a stuck vehicle that moves "
            "is held no harder than one that stands"
        )
    try:
        np.broadcast_shapes(*(np.shape(value) for value in [*si.values(), *rope.values()]))
    except ValueError:
        faults.append("rope: its lists do not fit those of the pull; give them equal lengths")
    return faults


def _first_turning(curve, pull: ScaledPull):
    """The first peak: its stretch, whether the rope breaks, and whether the stuck vehicle moves."""
    breakout = pull.breakout_stretch(curve)
    limit = np.minimum(breakout, pull.parting)
    kinetic = pull.speed**2 / 2
    left = kinetic + pull.drive * limit - curve.energy_at(limit)
    moves = ((left > 0) | (breakout == 0)) & (breakout < pull.parting)

    # What stretches the rope on from here: the rest of a kinetic energy, and a constant push.
    start = np.where(moves, breakout, 0.0)
    push = np.where(moves, pull.push_together, pull.drive)
    kinetic = np.where(moves, pull.share * left, kinetic)
    limit = np.where(moves, pull.parting, limit)
    held = curve.energy_at(start)

    # Convex in the stretch and not positive at the start: it has one rising root.
    def excess(stretch):
        energy, load = curve.look_up(stretch, ENERGY, LOAD)
        return energy - held - push * (stretch - start) - kinetic, load - push

    # The root lies before that of a straight line from here, flat as the flattest part: near it
    # Newton needs 5 steps where it takes 20 from the far end.
    flattest = np.min(curve.slopes[0])
    ahead = push - curve.load_at(start)
    with np.errstate(divide="ignore", invalid="ignore"):
        nearer = start + (ahead + np.sqrt(ahead**2 + 2 * flattest * kinetic)) / flattest
    nearer = np.fmin(limit, nearer * (1 + 1e-12))
    stretch = rising_root(excess, start, nearer)
    parts = (limit == pull.parting) & (excess(limit)[0] < 0)
    return stretch, _flag(parts), _flag(np.broadcast_to(moves, np.shape(stretch)))


def _kinetic_for(curve, pull: ScaledPull, stretch):
    """Kinetic energy at the start for which the first peak is at a stretch; negative if none is."""
    breakout = np.minimum(pull.breakout_stretch(curve), stretch)
    stuck = curve.energy_at(breakout) - pull.drive * breakout
    together = curve.energy_at(stretch) - curve.energy_at(breakout)
    together = together - pull.push_together * (stretch - breakout)
    # `together` is below zero only where the drive alone frees the stuck vehicle, and then so is
    # `stuck`: with R_m ≤ R_b, a drive up to R_b makes the push no more than R_b.
    return stuck + together / pull.share


def _flag(value):
    return bool(value) if np.ndim(value) == 0 else np.array(value)
