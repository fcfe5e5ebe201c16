"""Logs in many hands: what each file says is computed here, and what was read must be that."""

import codecs
import csv
import io

import numpy as np
import pytest

from recoverykit.measurements.log_table import Chosen, FieldLogError, UnknownColumnsError
from recoverykit.measurements.reading import read_log

# A truck of 3100 kg on a straight rope of 55 kN/m pulls v √(k m); the second round 4 % more.
SPEEDS = np.array([1.0, 2.0, 3.5, 5.0, 6.0])  # km/h
KILONEWTONS = np.round(SPEEDS / 3.6 * np.sqrt(55e3 * 3100) / 1e3, 2)
LBF = np.round(KILONEWTONS * 1e3 / 4.4482216152605)
AGAIN, LBF_AGAIN = np.round(1.04 * KILONEWTONS, 2), np.round(1.04 * LBF)


def rows(*columns, separator=",", mark=".", form="{:g}"):
    """Lines of a file, of numbers in columns."""
    lines = (
        separator.join(
            cell if isinstance(cell, str) else form.format(cell).replace(".", mark)
            for cell in cells
        )
        for cells in zip(*columns, strict=True)
    )
    return "".join(f"{line}\n" for line in lines)


def german(*columns):
    return rows(*columns, separator=";", mark=",")


def saved(table, **dialect):
    """As a spreadsheet saves its cells."""
    text = io.StringIO(newline="")
    csv.writer(text, **{"lineterminator": "\r\n", **dialect}).writerows(table)
    return text.getvalue()


US_SHEET = saved(
    [
        ["Speed (km/h)", "Peak (lbf)", "Note"],
        *((f"{v:g}", f"{f:,.0f}", "") for v, f in zip(SPEEDS, LBF, strict=True)),
    ]
)
GERMAN_SHEET = saved(
    [
        ["Geschwindigkeit (km/h)", "Zugkraft (kN)", "Bemerkung"],
        *(
            (f"{v:g}".replace(".", ","), f"{f:.2f}".replace(".", ","), "naß")
            for v, f in zip(SPEEDS, KILONEWTONS, strict=True)
        ),
    ],
    delimiter=";",
)
BARE_GROUPS = "speed [km/h],peak [lbf],note\n" + rows(SPEEDS, [f"{f:,.0f}" for f in LBF], [""] * 5)
WHOLE = np.array([1.0, 2, 3, 4, 5, 6])
WHOLE_LBF = np.round(WHOLE / 3.6 * np.sqrt(55e3 * 3100) / 4.4482216152605)
TWICE = SPEEDS.tolist() * 2

ONCE = {
    "German headings": "Geschwindigkeit [km/h];Zugkraft [kN]\n" + german(SPEEDS, KILONEWTONS),
    "French headings": "vitesse GPS (km/h);effort maximal (kN);remarques\n"
    + german(SPEEDS, KILONEWTONS, ["sec"] * 5),
    "Spanish headings": "velocidad (km/h);fuerza máxima (kN);observaciones\n"
    + german(SPEEDS, KILONEWTONS, ["seco"] * 5),
    "GPS speed": "GPS speed (mph),Load cell (lbf)\n" + rows(np.round(SPEEDS / 1.609344, 4), LBF),
    "max pull force": "Vehicle speed km/h,Max. pull force [kN]\n" + rows(SPEEDS, KILONEWTONS),
    "units in a row of their own": "Speed;Peak;Note\nkm/h;kN;\n"
    + german(SPEEDS, KILONEWTONS, [""] * 5),
    "units in brackets in a row": "speed,peak\n[km/h],[lbf]\n" + rows(SPEEDS, LBF),
    "thousands without quotes, decimal speeds": BARE_GROUPS,
    "thousands without quotes, no cells for empty notes": BARE_GROUPS.replace(",\n", "\n"),
    "about": "speed [km/h],peak [lbf]\n" + rows([f"~{v:g}" for v in SPEEDS], LBF),
    "circa": "Tempo [km/h];Spitze [kN]\n"
    + german(["ca. " + f"{v:g}".replace(".", ",") for v in SPEEDS], KILONEWTONS),
    "UTF-16 without a mark": ("speed [km/h],peak [lbf]\n" + rows(SPEEDS, LBF)).encode("utf-16-le"),
    "UTF-16 without a mark, big end first": GERMAN_SHEET.encode("utf-16-be"),
    "a US spreadsheet": codecs.BOM_UTF8 + US_SHEET.encode(),
    "a German spreadsheet": GERMAN_SHEET.encode("cp1252"),
    "a German spreadsheet, Unicode text": GERMAN_SHEET.replace(";", "\t").encode("utf-16"),
    "one peak in two units": "speed [km/h],peak [kN],peak [lbf]\n" + rows(SPEEDS, KILONEWTONS, LBF),
}
TWO_ROUNDS = {
    "a column a round": "speed [km/h],Round 1 [kN],Round 2 [kN]\n"
    + rows(SPEEDS, KILONEWTONS, AGAIN),
    "two peak columns": "speed [km/h],Peak [kN],Peak [kN]\n" + rows(SPEEDS, KILONEWTONS, AGAIN),
    "numbered peaks": "Speed (km/h),Peak 1 (lbf),Peak 2 (lbf)\n" + rows(SPEEDS, LBF, LBF_AGAIN),
    "Durchgang": "Geschwindigkeit;1. Durchgang;2. Durchgang\nkm/h;kN;kN\n"
    + german(SPEEDS, KILONEWTONS, AGAIN),
    "a pair a round": "speed 1 [km/h],peak 1 [kN],speed 2 [km/h],peak 2 [kN]\n"
    + rows(SPEEDS, KILONEWTONS, SPEEDS, AGAIN),
    "rounds below each other": "vitesse [km/h],force [kN],série\n"
    + rows(TWICE, [*KILONEWTONS, *AGAIN], [*[1] * 5, *[2] * 5]),
}


def as_bytes(text):
    return text if isinstance(text, bytes) else text.encode()


@pytest.mark.parametrize("file", ONCE.values(), ids=ONCE)
def test_a_log_in_another_hand(file):
    log = read_log(as_bytes(file))
    assert log.problems == ()
    assert log.speed.m_as("km/h") == pytest.approx(SPEEDS, rel=1e-3)
    assert log.peak.m_as("kN") == pytest.approx(KILONEWTONS, rel=2e-3)  # rounded to whole lbf
    assert log.round_number.tolist() == [1] * 5


@pytest.mark.parametrize("file", TWO_ROUNDS.values(), ids=TWO_ROUNDS)
def test_two_rounds_however_they_stand(file):
    log = read_log(as_bytes(file))
    assert log.problems == ()
    assert log.speed.m_as("km/h") == pytest.approx(np.tile(SPEEDS, 2))
    assert log.peak.m_as("kN") == pytest.approx(np.concatenate([KILONEWTONS, AGAIN]), rel=2e-3)
    assert log.round_number.tolist() == [1] * 5 + [2] * 5
    assert len(set(log.row.tolist())) == 10
    assert len(log.without(int(log.row[6]))) == 9  # one pull, not both in its row


def test_rows_of_rounds_side_by_side_have_their_names_said():
    log = read_log(as_bytes(TWO_ROUNDS["two peak columns"]))
    assert log.row.tolist() == [2, 3, 4, 5, 6, 202, 203, 204, 205, 206]
    assert "2 rounds stand side by side: row 5 of round 2 is called row 205" in log.remarks


def test_a_round_that_was_not_pulled_to_its_end_is_no_fault():
    log = read_log(b"speed [km/h],Peak 1 [kN],Peak 2 [kN]\n2,7,7.2\n4,14,\n6,21,oops\n")
    assert log.peak.m_as("kN").tolist() == [7, 14, 21, 7.2]
    assert [(problem.row, problem.found) for problem in log.problems] == [(4, "oops")]


def test_that_one_peak_in_two_units_counts_once_is_said():
    log = read_log(as_bytes(ONCE["one peak in two units"]))
    assert '"peak [lbf]" says the same as "peak [kN]", and counts once' in log.remarks


def test_that_numbers_are_rough_is_said():
    assert (
        'numbers marked as rough ("~", "ca.") are read as they stand'
        in read_log(as_bytes(ONCE["circa"])).remarks
    )


# --- thousands without quotes -----------------------------------------------------------


def test_whole_speeds_with_thousands_are_told_by_how_evenly_the_peaks_rise():
    text = "speed [km/h],peak [lbf]\n" + rows(WHOLE, [f"{f:,.0f}" for f in WHOLE_LBF])
    log = read_log(text.encode())
    assert log.speed.m_as("km/h").tolist() == WHOLE.tolist()
    assert log.peak.m_as("lbf").tolist() == WHOLE_LBF.tolist()


@pytest.mark.parametrize("row", ["3,1,250", "3,5,400"])
def test_thousands_that_may_be_decimals_are_asked_for(row):
    log = read_log(f"speed [km/h],peak [lbf]\n2,800\n{row}\n".encode())
    assert log.peak.m_as("lbf").tolist() == [800]
    (problem,) = log.problems
    assert "can be read in two ways: its comma may part thousands" in str(problem)
    assert "semicolons" in str(problem)


# --- what is asked for ------------------------------------------------------------------

HEADLESS = "yard, north wall\n" + rows(SPEEDS, LBF)
FOREIGN = "nopeus,veto,kierros\n" + rows(SPEEDS, LBF, [1] * 5)
SWAPPED = "speed [km/h],peak [lbf]\n" + rows(LBF, SPEEDS)
WITHOUT_UNIT = "speed,peak\n" + rows(SPEEDS, LBF)


@pytest.mark.parametrize(
    ("text", "says", "columns"),
    [
        (HEADLESS, "no heading with a speed and a peak", (0, 1)),
        (FOREIGN, "no heading with a speed and a peak", (0, 1)),
        (SWAPPED, "swapped?", (1, 0)),
        ("speed [km/h],peak [kN]\n" + rows(4 * KILONEWTONS, SPEEDS), "swapped?", None),
        ("speed,peak\n7.1 kN,2 km/h\n14 kN,4 km/h\n", "swapped?", None),
        (WITHOUT_UNIT, 'the heading "speed" has no unit', (0, 1)),
    ],
)
def test_where_columns_are_not_known_the_first_rows_are_shown_to_choose_from(text, says, columns):
    with pytest.raises(UnknownColumnsError) as caught:
        read_log(text.encode())
    assert says in str(caught.value)
    assert len(caught.value.preview) >= 3
    assert {len(row) for row in caught.value.preview} == {len(caught.value.preview[0])}
    if columns:
        speed, peak = columns
        log = read_log(
            text.encode(), chosen={"speed": Chosen(speed, "km/h"), "peak": Chosen(peak, "lbf")}
        )
        assert log.speed.m_as("km/h") == pytest.approx(SPEEDS)
        assert log.peak.m_as("lbf") == pytest.approx(LBF)
        assert log.problems == ()


def test_pulls_at_the_usual_speeds_are_not_taken_for_swapped():
    for factor in (0.5, 1, 1.6):
        read_log(
            ("speed [km/h],peak [kN]\n" + rows(factor * SPEEDS, factor * KILONEWTONS)).encode()
        )


def test_one_sentence_for_one_cause():
    text = "speed [km/h],peak [kN]\n" + "3,heavy\n" * 34
    with pytest.raises(FieldLogError) as caught:
        read_log(text.encode())
    assert str(caught.value) == (
        'no pull could be read: row 2, column "peak [kN]": "heavy" cannot be read: \'heavy\' does '
        "not start with a number; write a plain number such as 20; and so in 33 more rows"
    )
