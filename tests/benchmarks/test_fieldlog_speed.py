"""Reading and judging a log of 100,000 pulls, beside readers that check nothing."""

import csv
import io

import numpy as np
from helpers.side_by_side import milliseconds

from recoverykit.measurements.model_selection import compare
from recoverykit.measurements.reading import read_log

ROWS = 100_000


def file_of_pulls():
    random = np.random.default_rng(1)
    speeds = np.round(random.uniform(1, 9, ROWS), 1)
    peaks = np.round(1000 * speeds * (1 + 0.05 * random.standard_normal(ROWS)))
    rows = (
        f"{speed},{peak:.0f},{1 + number % 2},dry"
        for number, (speed, peak) in enumerate(zip(speeds, peaks, strict=True))
    )
    return "\n".join(["speed [km/h],peak [lbf],repeat,note", *rows]).encode()


def test_reading_and_fitting(record_property):
    data = file_of_pulls()

    def with_csv():
        _, *rows = csv.reader(io.StringIO(data.decode()))
        return np.array([(float(row[0]), float(row[1])) for row in rows])

    def with_numpy():
        return np.loadtxt(io.BytesIO(data), delimiter=",", skiprows=1, usecols=(0, 1))

    assert np.array_equal(with_csv()[:, 1], read_log(data).peak.m_as("lbf"))
    by_csv, by_numpy, reading, judging = milliseconds(
        with_csv, with_numpy, lambda: read_log(data), lambda: compare(read_log(data)), rounds=3
    )
    record_property(
        "speed",
        f"log of {ROWS:,} pulls: read and checked {reading:.0f} ms, "
        f"{reading / by_csv:.1f} times csv and numpy merely reading ({by_csv:.0f} ms), "
        f"{reading / by_numpy:.1f} times numpy.loadtxt ({by_numpy:.0f} ms); read, checked, six "
        f"shapes fitted and compared {judging:.0f} ms, {judging / by_csv:.1f} and "
        f"{judging / by_numpy:.1f} times",
    )
    assert reading < 6 * by_csv
    assert judging < 15 * by_csv
