"""What of a day of pulls goes on paper."""

import pytest
from matplotlib.figure import Figure

from recoverykit import display
from recoverykit.lessons.measured_pulls.record_content import (
    INVENTED,
    MOST_FINDINGS,
    MOST_ROWS,
    pull_record,
)
from recoverykit.lessons.measured_pulls.record_page import draw_session
from recoverykit.measurements.session import demo_session, read_session
from recoverykit.measurements.shapes import LINE, ROPE
from recoverykit.physics.rigging import demo_line


def record_of(text, line="yard line"):
    return pull_record(read_session(text.encode(), "today.csv"), demo_line(line))


def section(record, heading):
    return dict(record.sections)[heading]


def test_invented_pulls_are_marked_as_an_exercise_and_others_are_not():
    assert pull_record(demo_session(), demo_line()).exercise == INVENTED
    assert record_of("speed [km/h],peak [kN]\n2,7.1\n").exercise == ""


def test_rows_are_those_of_the_file_in_the_system_in_force():
    text = "speed [km/h],peak [kN],note\n2,7.1,calm\n4,14.2,\n"
    assert record_of(text).rows[0] == ("2", "2.0 km/h", "7.10 kN", "1", "", "calm")
    display.use("US")
    assert record_of(text).rows[1] == ("3", "2.5 mph", "3,190 lbf", "1", "", "")


def test_what_does_not_fit_on_the_page_is_counted():
    pulls = "".join(
        f"{2 + number % 5},{7 + 3.6 * (number % 5)}\n" for number in range(MOST_ROWS + 9)
    )
    record = record_of("speed [km/h],peak [kN]\n" + pulls)
    assert len(record.rows) == MOST_ROWS
    assert f"Only the first {MOST_ROWS} of {MOST_ROWS + 9} pulls fit" in record.more
    fits = "".join(pulls.splitlines(keepends=True)[:MOST_ROWS])
    assert record_of("speed [km/h],peak [kN]\n" + fits).more == ""


def test_cells_that_could_not_be_read_are_told():
    record = record_of("speed [km/h],peak [kN]\n2,7.1\n3,oops\n")
    assert section(record, "What looks wrong") == ("1 place of the file could not be read.",)


def test_a_long_list_of_findings_is_cut_and_counted():
    slips = "".join(f"{2 + number},{12 - number}\n" for number in range(MOST_FINDINGS + 3))
    told = section(record_of("speed [km/h],peak [kN]\n" + slips), "What looks wrong")
    assert len(told) == MOST_FINDINGS + 1
    assert told[-1].startswith("And 2 more places")


@pytest.mark.parametrize(
    ("pulls", "line", "reason"),
    [
        ("2,7.1\n", "yard line", "pull at 4 speeds or more"),
        ("2,7\n4,14\n6,21\n8,29\n", "line over a tow ball", "no working load limit is known for"),
    ],
)
def test_a_limit_speed_that_is_unknown_says_why(pulls, line, reason):
    (said,) = section(record_of("speed [km/h],peak [kN]\n" + pulls, line), "Limit speed")
    assert "limit speed is unknown: " in said
    assert reason in said


def drawn(session):
    axes = Figure().add_subplot()
    draw_session(axes, session, None, 8)
    return {line.get_label(): line for line in axes.lines}


@pytest.mark.parametrize("speeds", [(1, 2, 3, 4, 5, 6), (1, 2, 5, 8)])
def test_the_picture_shows_the_general_rope_to_one_step_beyond(speeds):
    """Even where a straight line ranks first."""
    rows = "".join(f"{v},{times * (4 * v + 3)}\n" for times in (0.95, 1.05) for v in speeds)
    session = read_session(f"speed [km/h],peak [kN]\n{rows}".encode(), "today.csv")
    comparison = session.comparison.value
    assert comparison.candidates[0].shape is LINE
    lines = drawn(session)
    assert LINE.name not in lines
    step = 1 if len(speeds) == 6 else 3
    longest = max(max(line.get_xdata()) for line in lines.values())
    assert max(lines[ROPE.name].get_xdata()) == pytest.approx(speeds[-1] + step)
    assert longest == pytest.approx(speeds[-1] + step)


def test_the_picture_shows_no_rope_that_the_pulls_rule_out():
    rows = "".join(f"{v},{v**2 + 0.02 * (v % 2)}\n" for v in (1, 2, 3, 4, 5, 6) * 2)
    session = read_session(f"speed [km/h],peak [kN]\n{rows}".encode(), "today.csv")
    assert session.comparison.value.of(ROPE).ruled_out
    assert ROPE.name not in drawn(session)
