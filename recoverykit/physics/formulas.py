"""Formulas: one mass, one straight line that stretches, in closed form."""

import math

import numpy as np

from recoverykit.units.quantities import GRAVITY, KINDS, InputError, Q, show
from recoverykit.units.validation import from_si, not_negative, positive, takes_quantities, to_si


@takes_quantities(returns="energy", mass=positive("mass"), speed=not_negative("speed"))
def kinetic_energy(mass, speed):
    """Energy of motion, E = m v² / 2, of scalars or arrays that broadcast.

    Range: mass m > 0, speed v ≥ 0 (up to 100 m/s). Raises InputError outside. Source: any
    mechanics text, e.g. Gere, Mechanics of Materials, chapter 2.

    >>> print(show(kinetic_energy(Q(2500, "kg"), Q(5, "km/h")), "energy"))
    2.41 kJ
    """
    return mass * speed**2 / 2


@takes_quantities(returns="length", speed=not_negative("speed"))
def drop_height(speed):
    """Height from which anything that is dropped comes down at a speed, h = v² / (2 g).

    So it is the drop that has the energy of motion of that speed, whatever the mass. Scalars or
    arrays. Range: speed v ≥ 0 (up to 100 m/s); no air. Raises InputError outside. Source: any
    mechanics text; EN 892:2004 gives 9.5 m/s for its fall of 4.6 m (seen).

    >>> print(show(drop_height(Q(8, "km/h")), "length"))
    0.252 m
    """
    return speed**2 / (2 * GRAVITY)


@takes_quantities(
    returns="force",
    mass=positive("mass"),
    speed=not_negative("speed"),
    stiffness=positive("stiffness"),
    drive=not_negative("force"),
    pretension=not_negative("force"),
)
def peak_tension(mass, speed, stiffness, drive=0.0, pretension=0.0):
    """Greatest tension in a line made fast to an anchor that does not move.

        F = D + √((D − T)² + k m v²)

    Mass m moves at speed v, pulls with the drive force D all the while, and the line of
    stiffness k already carries the tension T at that moment (0: it has just come taut). From the
    energy balance m v²/2 + D (x − T/k) = k (x² − (T/k)²)/2 with F = k x. With D = T = 0 this is
    v √(k m): a straight line in v. With v = 0 it is 2 D − T: a load applied at once to a slack
    line pulls twice as hard as the same load applied gently. With T = D, a winch line that
    carries its load and is stopped, it is T + v √(k m).

    Scalars or arrays that broadcast. Range: mass m > 0, speed v ≥ 0, stiffness k > 0, drive D ≥ 0,
    pretension T ≥ 0; a linear line with no mass and no loss, whatever its strength: compare with
    the breaking strength yourself. Raises InputError outside the range. Source: Gere, Mechanics
    of Materials, section 2.8; Beer & Johnston, Dynamics, section 13.

    >>> print(show(peak_tension(Q(2500, "kg"), Q(5, "km/h"), Q(40, "kN/m")), "force"))
    13.9 kN
    >>> print(show(peak_tension(Q(2500, "kg"), Q(5, "km/h"), Q(40, "kN/m"), drive=Q(5, "kN")),
    ...            "force"))
    19.8 kN
    """
    return drive + np.hypot(drive - pretension, speed * np.sqrt(stiffness * mass))


@takes_quantities(
    returns="speed",
    mass=positive("mass"),
    tension=positive("force"),
    stiffness=positive("stiffness"),
    drive=not_negative("force"),
)
def speed_for_tension(mass, tension, stiffness, drive=0.0):
    """Speed at which a slack line peaks at just `tension`: the inverse of `peak_tension`.

        v = √(F (F − 2 D) / (k m))

    Shapes and source as for `peak_tension`. Range: mass m > 0, tension F > 0, stiffness k > 0,
    drive D ≥ 0. Raises InputError outside, where there is no such speed, since the drive force
    alone loads the line more, and where the speed is beyond 1000 m/s.

    >>> print(show(speed_for_tension(Q(2500, "kg"), Q(38, "kN"), Q(40, "kN/m")), "speed"))
    13.7 km/h
    >>> speed_for_tension(Q(2500, "kg"), Q(38, "kN"), Q(40, "kN/m"), drive=Q(20, "kN"))
    Traceback (most recent call last):
    ...
    recoverykit.units.quantities.InputError: speed_for_tension: no speed is slow enough for 38.0
    kN: without
    any speed the line already comes to 40.0 kN; use less drive force or a higher limit
    """
    over = tension - 2 * drive
    if np.any(over < 0):
        limit, least = (
            np.broadcast_to(value, np.shape(over)).flat[np.argmax(over < 0)]
            for value in (tension, 2 * drive)
        )
        raise InputError(
            f"speed_for_tension: no speed is slow enough for {show(Q(limit, 'N'), 'force')}: "
            f"without any speed the line already comes to {show(Q(least, 'N'), 'force')}; use less "
            f"drive force or a higher limit"
        )
    speed = np.sqrt(tension * over / (stiffness * mass))
    if np.any(speed > KINDS["flight"].largest):
        raise InputError(
            "speed_for_tension: only at more than "
            f"{show(from_si(KINDS['flight'].largest, 'speed'), 'speed')} does the tension come to "
            "that; use a lower tension, or a mass and a stiffness of a vehicle and its line, such "
            'as mass=Q(2500, "kg"), stiffness=Q(15, "kN/m")'
        )
    return speed


def series_stiffness(*stiffnesses):
    """Stiffness of parts that stretch one behind the other, 1/k = Σ 1/kᵢ.

    Any number of quantities, scalars or arrays that broadcast. Range: each above 0, and each part
    as stiff at every load. Raises InputError otherwise. Source: any mechanics text, e.g. Hibbeler,
    Dynamics, section 14.

    >>> print(show(series_stiffness(Q(40, "kN/m"), Q(60, "kN/m")), "stiffness"))
    24.0 kN/m
    """
    names = [f"stiffness_{number}" for number in range(1, len(stiffnesses) + 1)]
    if not names:
        raise InputError(
            "series_stiffness: nothing came; write for example "
            'series_stiffness(Q(40, "kN/m"), Q(60, "kN/m"))'
        )
    floats = to_si(
        "series_stiffness",
        dict.fromkeys(names, positive("stiffness")),
        dict(zip(names, stiffnesses, strict=True)),
    )
    return from_si(1 / sum(1 / k for k in floats.values()), "stiffness")


@takes_quantities(returns="mass", mass_1=positive("mass"), mass_2=positive("mass"))
def reduced_mass(mass_1, mass_2):
    """Mass with which two bodies move against each other, μ = m1 m2 / (m1 + m2).

    Between them a line that comes taut at the speed v is loaded as by this mass against an anchor:
    F = v √(k μ). Scalars or arrays that broadcast. Range: mass_1 m1 > 0, mass_2 m2 > 0, nothing
    else holding either body. Raises InputError otherwise. Source: any mechanics text, e.g. Kleppner
    & Kolenkow, An Introduction to Mechanics, chapter 9.

    >>> print(show(reduced_mass(Q(3100, "kg"), Q(1850, "kg")), "mass"))
    1160 kg
    """
    return mass_1 * mass_2 / (mass_1 + mass_2)


@takes_quantities(returns="time", mass=positive("mass"), stiffness=positive("stiffness"))
def time_under_load(mass, stiffness):
    """Time from the line coming taut to its going slack again, D = π √(m / k).

    Half a swing of mass m on a linear line of stiffness k with a fixed anchor and the clutch
    down, whatever the speed. Scalars or arrays that broadcast. Range: mass m > 0, stiffness k > 0.
    Raises InputError otherwise. Source: any mechanics text, e.g. Hibbeler, Dynamics, section 22.1.

    >>> print(show(time_under_load(Q(2500, "kg"), Q(40, "kN/m")), "time"))
    0.785 s
    """
    return math.pi * np.sqrt(mass / stiffness)
