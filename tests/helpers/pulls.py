"""Load curves and random pulls for the tests of pulls."""

import dataclasses

import numpy as np

from recoverykit import LoadCurve, Pull, Q, Rope
from recoverykit.physics.load_curve import LINEAR

STIFFENING = LoadCurve((0, 0.2, 0.4, 0.6, 0.8, 1), (0, 0.06, 0.19, 0.40, 0.68, 1))
ROUGH = LoadCurve((0, 0.1, 0.5, 0.6, 1), (0, 0.01, 0.1, 0.5, 1))
SOFTENING = LoadCurve((0, 0.3, 1), (0, 0.6, 1))
CURVES = (LINEAR, STIFFENING, ROUGH, SOFTENING)


def random_pulls(seed, curve, size, **fields):
    """Pulls of very different sizes, from a weak pull on a strong rope to one that parts it.

    They are drawn in the rope's own measures, so that something happens in most of them.
    """
    random = np.random.default_rng(seed)

    def spread(low, high):
        return np.exp(random.uniform(np.log(low), np.log(high), size))

    def at_times(chance, values, otherwise=0.0):
        return np.where(random.random(size) < chance, values, otherwise)

    strength, extension, mass = spread(1e3, 1e7), spread(0.1, 50), spread(10, 4e4)
    breakout = at_times(0.9, strength * spread(1e-4, 1.5))
    speed = at_times(0.9, spread(1e-3, 2)) * np.sqrt(strength * extension / mass)
    return Pull(
        **{
            "recovery_mass": Q(mass, "kg"),
            "rope": Rope(
                Q(extension * 2, "m"),
                Q(strength, "N"),
                0.5,
                curve,
                at_times(0.7, random.uniform(0, 0.5, size)),
                at_times(0.5, random.uniform(0.2, 1, size), 1.0),
            ),
            "speed": Q(np.minimum(speed, 99), "m/s"),
            "stuck_mass": Q(mass * spread(0.1, 10), "kg"),
            "drive": Q(at_times(0.7, strength * spread(1e-4, 0.7)), "N"),
            "breakout_resistance": Q(breakout, "N"),
            "moving_resistance": Q(breakout * at_times(0.9, random.random(size), 1.0), "N"),
            **fields,
        }
    )


def one_of(pull, index):
    """One pull out of an array of pulls."""

    def picked(record):
        values = {item.name: getattr(record, item.name) for item in dataclasses.fields(record)}
        arrays = {n: v for n, v in values.items() if np.ndim(getattr(v, "m", v)) == 1}
        return {name: array[index] for name, array in arrays.items() if name != "curve"}

    return dataclasses.replace(
        pull, **picked(pull), rope=dataclasses.replace(pull.rope, **picked(pull.rope))
    )


def unloading_tension(rope, extension, turned_at):
    """The law of `Rope` for the way back from a stretch: T (1 − 2 loss (1 − E / E_turned))."""
    regained = rope.stored_energy(extension) / rope.stored_energy(turned_at)
    return rope.tension(extension) * (1 - 2 * rope.loss * (1 - regained))
