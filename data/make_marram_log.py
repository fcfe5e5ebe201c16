"""Invents the logs of pulls at Marram Point: `python -m data.make_marram_log`.

There is one for each unit system, with round speeds. Nothing in them was measured. The launch truck
pulls at the mooring block with the yard rope, which stiffens as it stretches and again with use;
peaks scatter. Two rows of each are then written down wrongly on purpose, for learners to find.
"""

import csv
from pathlib import Path

import numpy as np

from recoverykit.tables.marram_point import DemoRope, DemoVehicle
from recoverykit.tables.records import find
from recoverykit.units.quantities import Q

FILES = {
    "km/h": Path(__file__).with_name("marram_point_pulls.csv"),
    "mph": Path(__file__).with_name("marram_point_pulls_us.csv"),
}

SEED = 1907  # any number does
SPEEDS = {"km/h": (1, 2, 3, 4, 5, 6), "mph": (0.5, 1, 2, 2.5, 3, 3.5)}
FASTEST = Q(6, "km/h")
BEND = 0.35  # how much the rope stiffens on the way to FASTEST
SOFT_START = 0.75  # stiffness of the first stretch, over that of the straight line to the break
ROUND_DRIFT = (1.0, 1.05)  # the second round pulls 5 % harder
SCATTER = 0.025  # of a single peak
METER_STEP = 10  # lbf; the meter's last digit
NOTES = {  # by the place of the speed, and the round
    (1, 1): "rope rested overnight, dry",
    (4, 1): "gust, flag straight out",
    (2, 2): "second round after ten minutes",
    (5, 2): "driver changed",
}
IN_NEWTONS = (3, 1)  # as in NOTES: the meter stood on N, nobody wrote it down
DIGIT_LOST = (5, 2)  # the last digit was not written down


def peaks(unit: str) -> np.ndarray:
    """Peaks in lbf as the meter showed them, one row for each round."""
    random = np.random.default_rng(SEED)
    truck = find(DemoVehicle, name="launch truck").mass
    rope = find(DemoRope, name="yard rope")
    stiffness = rope.breaking_strength / (rope.stretch_at_break * rope.length)
    first_slope = (SOFT_START * stiffness * truck) ** 0.5
    steps = (Q(SPEEDS[unit], unit) / FASTEST).m_as("")
    straight = (first_slope * FASTEST).m_as("lbf")
    # T = k x + c x³: m v² = k x² + c x⁴/2, with the bend for c.
    root = np.sqrt(1 + 2 * BEND * steps**2)
    curve = straight * steps * np.sqrt(2 / (1 + root)) * root
    scattered = 1 + SCATTER * random.standard_normal((len(ROUND_DRIFT), len(steps)))
    shown = np.array(ROUND_DRIFT)[:, np.newaxis] * curve * scattered
    return METER_STEP * np.round(shown / METER_STEP)


def rows(unit: str):
    """The rows of a log, mistakes included."""
    for round_number, row in enumerate(peaks(unit), start=1):
        for place, (speed, peak) in enumerate(zip(SPEEDS[unit], row, strict=True), start=1):
            if (place, round_number) == IN_NEWTONS:
                peak = METER_STEP * round(Q(peak, "lbf").m_as("N") / METER_STEP)
            if (place, round_number) == DIGIT_LOST:
                peak //= 10
            yield (
                speed,
                f"{peak:.0f}",
                round_number,
                "invented",
                "",
                NOTES.get((place, round_number), ""),
            )


if __name__ == "__main__":
    for unit, path in FILES.items():
        with path.open("w", newline="", encoding="utf-8") as file:
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow([f"speed [{unit}]", "peak [lbf]", "repeat", "source", "mark", "note"])
            writer.writerows(rows(unit))
