"""Timing of several ways to do a thing, in turn, so that a busy machine slows all alike."""

import statistics
import time

WARM_UP = 1  # rounds that fill caches


def milliseconds(*ways, rounds):
    """The median time of each way."""
    times = [[] for _ in ways]
    for number in range(WARM_UP + rounds):
        for way, taken in zip(ways, times, strict=True):
            start = time.perf_counter()
            way()
            if number >= WARM_UP:
                taken.append(1000 * (time.perf_counter() - start))
    return [statistics.median(taken) for taken in times]
