"""The pull in time once more, by other means: scipy's adaptive integration, one pull at a time.

It shares nothing with the library but the words of the model: plain SI numbers, both vehicles in
their own coordinates, the load curve and every event from scipy.
"""

import math
from bisect import bisect_right
from dataclasses import dataclass

from scipy.integrate import solve_ivp
from scipy.interpolate import PchipInterpolator
from scipy.optimize import brentq

STILL = 1e-12  # m/s


@dataclass
class Outcome:
    peak: float
    travel: float
    stuck_speed: float
    parted_at: float


@dataclass
class AdaptivePull:
    """One pull; `stuck_mass` is None for an anchor. Everything in SI units."""

    stretch: tuple
    load: tuple
    strength: float
    full_extension: float
    recovery_mass: float
    speed: float
    stuck_mass: float | None = None
    drive: float = 0.0
    breakout: float = 0.0
    moving: float = 0.0
    loss: float = 0.0
    strength_factor: float = 1.0
    drive_time: float = math.inf

    def __post_init__(self):
        load = PchipInterpolator(self.stretch, self.load)
        # scipy's cubics, evaluated by hand: for one place at a time that is far quicker.
        self._load = load.c.T.tolist()
        self._energy = load.antiderivative().c.T.tolist()

    def loading(self, extension):
        return self.strength * self._at(self._load, extension)

    def work(self, extension):
        return self._at(self._energy, extension)

    def _at(self, pieces, extension):
        stretch = max(float(extension), 0.0) / self.full_extension
        piece = min(bisect_right(self.stretch, stretch), len(pieces)) - 1
        beyond, value = stretch - self.stretch[piece], 0.0
        for coefficient in pieces[piece]:
            value = value * beyond + coefficient
        return value

    def extension_at(self, tension):
        return brentq(lambda x: self.loading(x) - tension, 0.0, self.full_extension, xtol=1e-15)

    def follow(self, duration, rtol=1e-10, max_step=math.inf, method="DOP853") -> Outcome:
        parting = self.extension_at(self.strength_factor * self.strength * (1 - 1e-15))
        time, state = 0.0, [0.0, self.speed, 0.0, 0.0]
        taut, moves, parted_at, turned = True, False, math.nan, None
        peak = 0.0
        while time < duration * (1 - 1e-14):
            drive = self.drive if time < self.drive_time else 0.0

            def tension(y, taut=taut, turned=turned):
                if not taut:
                    return 0.0
                x = y[0] - y[2]
                if turned is None:
                    return self.loading(x)
                left = 1 - 2 * self.loss * (1 - self.work(x) / self.work(turned))
                return self.loading(x) * left

            def gains(y, tension=tension, moves=moves, drive=drive):
                now = tension(y)
                stuck_vehicle = (now - self.moving) / self.stuck_mass if moves else 0.0
                return (drive - now) / self.recovery_mass, stuck_vehicle

            def motion(_, y, gains=gains):
                recovery, stuck_vehicle = gains(y)
                return y[1], recovery, y[3], stuck_vehicle

            rate = state[1] - state[3]
            recovery, stuck_vehicle = gains(state)
            stretching = (rate if abs(rate) > STILL else recovery - stuck_vehicle) >= 0
            x = state[0] - state[2]
            if taut and not stretching and turned is None and self.loss > 0 and x > 0:
                turned = x
                continue
            held = self.stuck_mass is not None and not moves
            if held and taut and tension(state) >= self.breakout * (1 - 1e-12):
                moves = True
                continue
            # An event of each kind that can come next: a function that falls through zero.
            sign = 1 if stretching else -1
            events = {"turn": lambda _, y, sign=sign: sign * (y[1] - y[3])}
            if moves:
                events["stick"] = lambda _, y: y[3]
            if taut and stretching:
                if turned is None:
                    events["part"] = lambda _, y: parting - (y[0] - y[2])
                else:
                    events["rejoin"] = lambda _, y, turned=turned: turned - (y[0] - y[2])
                if held:
                    events["break free"] = lambda _, y, now=tension: self.breakout - now(y)
            elif taut:
                events["slack"] = lambda _, y: y[0] - y[2]
            elif stretching and math.isnan(parted_at):
                events["taut"] = lambda _, y: y[2] - y[0]
            for event in events.values():
                event.terminal, event.direction = True, -1
            leg = solve_ivp(
                motion,
                (time, self.drive_time if time < self.drive_time < duration else duration),
                state,
                method=method,
                rtol=rtol,
                atol=rtol * 1e-3,
                max_step=max_step,
                events=list(events.values()),
            )
            time, state = float(leg.t[-1]), list(leg.y[:, -1])
            peak = max(peak, tension(state))
            happened = [n for n, times in zip(events, leg.t_events, strict=True) if len(times)]
            if "turn" in happened:
                state[1] = state[3]
            if "stick" in happened:
                moves, state[3] = False, 0.0
            if "break free" in happened:
                moves = True
            if "rejoin" in happened:
                turned = None
            if "slack" in happened:
                taut, turned, state[0] = False, None, state[2]
            if "taut" in happened:
                taut, state[0] = True, state[2]
            if "part" in happened:
                taut, parted_at = False, time
        return Outcome(peak, state[2], state[3], parted_at)
