"""The learner's own gear: vehicles, ropes and parts, and the rows of a line that they make.

What is written of a part is read as a line's rows are (physics/rigging_text). What nobody has
looked at, or what has no stamp, counts as unrated: a line with it is unknown.
"""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from recoverykit.course.gear_files import GearFile, Row
from recoverykit.measurements.for_plan import MeasuredRope, measured_rope
from recoverykit.measurements.session import Session
from recoverykit.physics.rigging_text import read_part
from recoverykit.units.files import reason
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import METRIC, InputError, Q, at_least, at_most
from recoverykit.units.text import as_sentence

VEHICLES = ("name", "mass", "driven wheels", "front point", "rear point")
ROPES = ("name", "length", "strength", "stretch", "bought", "pulls so far")
PARTS = ("name", "number", "unit", "basis", "factor", "condition", "last looked at")
LINES = (
    "name",
    "recovery vehicle",
    "its point",
    "parts between",
    "rope",
    "stuck vehicle",
    "point on stuck vehicle",
)
MEASURED = ("name", "rope", "vehicle", "softest", "stiffest", "fastest", "pulls", "logs")
FRONT, REAR = "front", "rear"
NO_STAMP = "no stamp"
ASK_TON = "t or ton: which?"
UNITS = ("kN", "lbf", "kgf", "short tons", "tonnes", ASK_TON)
BASES = ("WLL", "breaking strength", NO_STAMP)
ALL_DRIVEN = "all"
DRIVEN = (ALL_DRIVEN, "rear", "front")


class Gear:
    """The gear in a folder."""

    def __init__(self, folder: Path = Path()):
        self.vehicles = GearFile(folder / "my-vehicles.csv", VEHICLES)
        self.ropes = GearFile(folder / "my-ropes.csv", ROPES)
        self.parts = GearFile(folder / "my-parts.csv", PARTS)
        self.lines = GearFile(folder / "my-lines.csv", LINES)
        self.measured = GearFile(folder / "my-measured-ropes.csv", MEASURED)

    def keep_day(self, rope: str, vehicle: str, session: Session) -> str:
        """Keep what a day says of a rope behind a vehicle, and count its pulls; says what it did.

        A log counts once, however often it is kept. Raises InputError where the rope or the
        vehicle is not there, and where the pulls say too little.
        """
        if session.invented:
            raise InputError("these pulls are invented: open your own log first")
        old_rope = named(self.ropes.rows(), rope, "rope")
        found = measured_rope(session, mass_of(named(self.vehicles.rows(), vehicle, "vehicle")))
        name, log = f"{rope} behind {vehicle}", _fingerprint(session)
        rows = self.measured.rows()
        old = next((row for row in rows if row["name"] == name), None)
        logs = old["logs"].split() if old else []
        if log in {each for row in rows if row["rope"] == rope for each in row["logs"].split()}:
            counted = "The pulls of this log were counted before."
        else:
            # Before the log is on record: if that fails, pulls count twice rather than never.
            pulls = len(session.log)
            total = pulls_so_far(old_rope) + pulls
            self.ropes.save({**old_rope, "pulls so far": str(total)}, old_rope)
            counted = f"{rope} has {total} pulls so far, {pulls} of them from this log."
        row = {
            "name": name,
            "rope": rope,
            "vehicle": vehicle,
            "softest": at_least(found.softest, "stiffness", METRIC),
            "stiffest": at_most(found.stiffest, "stiffness", METRIC),
            "fastest": f"{found.fastest.m_as('km/h'):.2f} km/h",
            "pulls": str(found.pulls),
            "logs": " ".join(dict.fromkeys([*logs, log])),
        }
        self.measured.save(row, old)
        return f"Kept for the plan: {name}. {counted}"

    def measured_of(self, rope: str, vehicle: str) -> MeasuredRope | None:
        """What was measured of a rope behind a vehicle; None if nothing was."""
        for row in self.measured.rows():
            if (row["rope"], row["vehicle"]) == (rope, vehicle):
                return MeasuredRope(
                    _above_zero("softest", row["softest"], "stiffness"),
                    _above_zero("stiffest", row["stiffest"], "stiffness"),
                    _above_zero("fastest", row["fastest"], "speed"),
                    int(row["pulls"]) if row["pulls"].isdecimal() else 0,
                )
        return None


def _fingerprint(session: Session) -> str:
    """What tells a log from another: its numbers, whatever its file is called."""
    numbers = np.concatenate([session.log.speed_si, session.log.peak_si])
    return hashlib.sha256(numbers.astype(float).tobytes()).hexdigest()[:12]


def named(rows: Sequence[Row], name: str, what: str) -> Row:
    """The row with a name. Raises InputError where there is none, or more than one."""
    found = [row for row in rows if row["name"] == name]
    if not found:
        raise InputError(f'there is no {what} called "{name}" in your gear; write it down first')
    if len(found) > 1:
        raise InputError(
            f'there is more than one {what} called "{name}" in your gear; give each its own name'
        )
    return found[0]


# --- checks -----------------------------------------------------------------------------


def check_vehicle(row: Row) -> None:
    """Raise InputError for what cannot be planned with."""
    mass_of(row)
    if row["driven wheels"] not in ("", *DRIVEN):
        raise InputError(f"driven wheels: write {', '.join(DRIVEN)}")
    for point in (FRONT, REAR):
        if row[f"{point} point"]:
            point_row(row, point)


def mass_of(row: Row) -> Q:
    """How heavy a vehicle is, as loaded for the day."""
    return _above_zero("mass", row["mass"], "mass")


def point_row(row: Row, point: str) -> str:
    """The row of a line for a recovery point of a vehicle; without a stamp it counts as unrated."""
    said = f"{point} point of {row['name']}: {row[f'{point} point'] or NO_STAMP}"
    read_part(said)
    return said


def check_rope(row: Row) -> None:
    """Raise InputError for what cannot be planned with."""
    rope_row(row)
    pulls_so_far(row)


def rope_row(row: Row) -> str:
    """The row of a line for a rope, with its length and its stretch at break."""
    _above_zero("length", row["length"], "length")
    _above_zero("stretch", row["stretch"], "ratio")
    name = row["name"] if "rope" in row["name"].lower().split() else f"rope {row['name']}"
    said = f"{name}: {row['strength'] or NO_STAMP}, {row['length']}, stretch {row['stretch']}"
    read_part(said)
    return said


def rope_figures(row: Row) -> dict[str, Q]:
    """Length, strength and stretch of a rope. Raises InputError where its strength is not known."""
    reading = read_part(rope_row(row))
    rating = reading.quantity.rating
    if rating is None or rating.breaking_strength is None:
        raise InputError(
            f"the breaking strength of {row['name']} is not known; write what its stamp says, with "
            f"its factor"
        )
    return {
        "length": _above_zero("length", row["length"], "length"),
        "strength": rating.breaking_strength,
        "stretch": _above_zero("stretch", row["stretch"], "ratio"),
    }


def pulls_so_far(row: Row) -> int:
    """How many pulls a rope has seen; none where nothing is written."""
    written = row["pulls so far"] or "0"
    if not written.isdecimal() or len(written) > 6:
        raise InputError(f'pulls so far: "{written}" is no whole number; write for example 12')
    return int(written)


def check_part(row: Row) -> None:
    """Raise InputError for what cannot be read as a stamp, or cannot be picked for a line."""
    if ";" in row["name"]:
        raise InputError(
            'the name has a ";" in it, which separates the parts of a line; leave it out'
        )
    read_part(_as_stamped(row))


def part_row(row: Row) -> str:
    """The row of a line for a part; one that nobody has looked at counts as unrated."""
    check_part(row)
    return _as_stamped(row) if row["last looked at"] else f"{row['name']}: {NO_STAMP}"


def _as_stamped(row: Row) -> str:
    if row["basis"] == NO_STAMP or not row["number"]:
        return f"{row['name']}: {NO_STAMP}"
    unit = "t" if row["unit"] == ASK_TON else row["unit"]
    stamp = f"{row['name']}: {row['number']} {unit}, {row['basis']}"
    more = [f"factor {row['factor']}" * bool(row["factor"]), row["condition"]]
    return ", ".join([stamp, *filter(None, more)])


def _above_zero(column: str, written: str, kind: str) -> Q:
    try:
        quantity = read_quantity(written, kind).quantity
    except InputError as fault:
        raise InputError(f"{column}: {fault}") from None
    if quantity.m <= 0:
        raise InputError(f"{column}: {written} is nothing; write how much it is")
    return quantity


# --- a line of one's own gear ------------------------------------------------------------


@dataclass(frozen=True)
class OwnLine:
    """A line of own gear: its rows as they are written, and what the plan takes from it."""

    text: str
    unrated: tuple[str, ...]  # what counts as unrated, and why, in words
    recovery_mass: Q
    driven: str  # of its wheels; "" where nobody said which
    stuck_mass: Q
    rope: str
    pulls: int
    measured: MeasuredRope | None


def part_names(written: str) -> list[str]:
    """The names of the parts of a line."""
    return [name.strip() for name in written.split(";") if name.strip()]


def line_of(gear: Gear, row: Row) -> OwnLine:
    """The line of a row of LINES. Raises InputError for what is missing or cannot be read."""
    vehicles = gear.vehicles.rows()
    recovery = named(vehicles, row["recovery vehicle"], "vehicle")
    stuck = named(vehicles, row["stuck vehicle"], "vehicle")
    rope = named(gear.ropes.rows(), row["rope"], "rope")
    all_parts = gear.parts.rows()
    parts = [named(all_parts, name, "part") for name in part_names(row["parts between"])]
    unrated = [
        f"{part['name']} was never looked at"
        for part in parts
        if part["basis"] != NO_STAMP and part["number"] and not part["last looked at"]
    ]
    rows = [
        point_row(recovery, row["its point"] or REAR),
        *map(part_row, parts),
        rope_row(rope),
        point_row(stuck, row["point on stuck vehicle"] or FRONT),
    ]
    return OwnLine(
        "\n".join(rows),
        tuple(unrated),
        mass_of(recovery),
        recovery["driven wheels"],
        mass_of(stuck),
        rope["name"],
        pulls_so_far(rope),
        gear.measured_of(rope["name"], recovery["name"]),
    )


def in_a_sentence(fault: Exception) -> str:
    """What is wrong with gear, or with the disk, as one sentence."""
    return as_sentence(" ".join(reason(fault).split()).rstrip("."))
