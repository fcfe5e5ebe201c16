"""What of a day of pulls goes on paper."""

import pytest

from recoverykit import display
from recoverykit.lessons.measured_pulls.record_content import (
    INVENTED,
    MOST_FINDINGS,
    MOST_ROWS,
    pull_record,
)
from recoverykit.measurements.session import demo_session, read_session
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
    assert record_of("speed [km/h],peak [kN]\n2,7.1\n").more == ""


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


def test_without_a_line_of_ones_own_there_is_no_limit_speed():
    session = read_session(b"speed [km/h],peak [kN]\n2,7\n4,14\n6,21\n8,29\n", "today.csv")
    (said,) = section(pull_record(session, None), "Limit speed")
    assert said == (
        "The limit speed is unknown: it needs the lowest working load limit of your own line."
    )
