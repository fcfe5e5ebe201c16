"""Reading logs as people write them."""

import codecs
import csv
import io
import os
import random
import time
from types import SimpleNamespace

import numpy as np
import pytest

from recoverykit import display
from recoverykit.measurements import log_table
from recoverykit.measurements.log_table import (
    HEADING_WITHIN,
    LONGEST_LINE,
    MOST_ROWS,
    FieldLogError,
)
from recoverykit.measurements.reading import empty_log, read_log

SPEEDS = [1.0, 2.0, 3.5, 5.0]
PEAKS = [1100.0, 2150.0, 3900.0, 5550.0]


def read(text, **options):
    return read_log(text.encode(), **options)


def assert_pulls(log, speeds=SPEEDS, peaks=PEAKS, speed_unit="km/h", peak_unit="lbf"):
    assert log.speed.m_as(speed_unit) == pytest.approx(np.array(speeds))
    assert log.peak.m_as(peak_unit) == pytest.approx(np.array(peaks))


# --- one log, written in many ways ------------------------------------------------------

US = "speed [km/h],peak [lbf],repeat,note\n1,1100,1,dry\n2,2150,1,\n3.5,3900,1,\n5,5550,1,\n"
GERMAN = (
    "Geschwindigkeit [km/h];Spitzenkraft [lbf];Wdh;Bemerkung\n"
    "1;1.100;1;naß\n2;2.150;1;\n3,5;3.900;1;\n5;5.550;1;\n"
)
WAYS = {
    "as the course writes it": US.encode(),
    "Windows line ends": US.replace("\n", "\r\n").encode(),
    "old line ends": US.replace("\n", "\r").encode(),
    "no last line end": US.rstrip("\n").encode(),
    "UTF-16, big end first": codecs.BOM_UTF16_BE + US.encode("utf-16-be"),
    "German, cp1252": GERMAN.encode("cp1252"),
    "spaces after commas": US.replace(",", ", ").encode(),
    "blank lines": US.replace("\n", "\n\n  \n,,,\n").encode(),
    "empty columns to the right": US.replace("\n", ",,,\n").encode(),
    "no cells for empty notes": US.replace(",\n", "\n").encode(),
    "decimal comma, quoted": US.replace("3.5", '"3,5"').encode(),
    "units in the cells": (
        b"speed,peak\n1 km/h,1100 lbf\n2 km/h,2150 lbs\n3.5 kph,3900 lbf\n5 km/h,5.55 kip\n"
    ),
    "round brackets, other order": (
        b"No.,Peak force (lbf),Speed (km/h)\n7,1100,1\n8,2150,2\n9,3900,3.5\n10,5550,5\n"
    ),
    "unit after the name": b"speed km/h;peak_lbf\n1;1100\n2;2150\n3.5;3900\n5;5550\n",
    "title above": b"Marram Point\nyard, north wall\n\n" + US.encode(),
    "separator named above": b"sep=;\n" + US.replace(",", ";").encode(),
    "thousands with spaces": US.replace("1100", "1 100").replace("5550", "5\u202f550").encode(),
    "fraction": US.replace("3.5", "3 1/2").encode(),
    "heading twice": (US + US.splitlines()[0] + "\n").encode(),
}


@pytest.mark.parametrize("data", WAYS.values(), ids=WAYS.keys())
def test_one_log_in_many_ways(data):
    assert_pulls(read_log(data))


def test_other_units_come_out_as_quantities():
    log = read("v [mph]\tload [kN]\n3\t20,5\n4\t27,5\n")
    assert_pulls(log, [3, 4], [20.5, 27.5], "mph", "kN")
    assert f"{log.peak.units}" == "kN"


def test_a_path_and_its_bytes_read_alike(tmp_path):
    path = tmp_path / "pulls.csv"
    path.write_bytes(US.encode())
    assert_pulls(read_log(path))
    assert_pulls(read_log(str(path)))
    assert_pulls(read_log(memoryview(US.encode())))


def test_nothing_on_disk_is_changed(tmp_path):
    path = tmp_path / "pulls.csv"
    path.write_bytes(US.encode() + b"x,y,z,\n")
    path.chmod(0o444)
    before = path.read_bytes(), os.stat(path).st_mtime_ns, os.listdir(tmp_path)
    read_log(path).without(2)
    assert (path.read_bytes(), os.stat(path).st_mtime_ns, os.listdir(tmp_path)) == before


def test_notes_rounds_and_rows_are_kept():
    text = "speed [km/h],peak [lbf],round,note\n\n2,2150,1,wet, cold\n3,3100,1,\n2,2200,2,dry\n"
    log = read(text)
    assert log.note == ("wet, cold", "", "dry")
    assert log.round_number.tolist() == [1, 1, 2]
    assert log.row.tolist() == [3, 4, 5]
    assert not log.problems


def test_without_a_round_the_order_of_the_rows_counts():
    assert read("speed [mph],peak [kN]\n2,9\n3,14\n2,9.1\n3,14.2\n2,9\n").round_number.tolist() == [
        *(1, 1, 2, 2, 3)
    ]


def test_how_the_file_was_read_is_said():
    remarks = " | ".join(read_log(WAYS["German, cp1252"]).remarks)
    assert "cp1252" in remarks
    assert "semicolons" in remarks
    assert "heading in row 1" in remarks
    assert '"1.100" are read as 1100' in remarks
    assert "heading in row 4" in " ".join(read_log(WAYS["title above"]).remarks)
    remarks = " | ".join(read("x,speed [km/h],peak [lb]\n1,2,2000\n").remarks)
    assert "pounds-force" in remarks
    assert "not read: x" in remarks


# --- decimal marks ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("separator", "cells", "expected"),
    [
        (";", ["1,5", "1.250", "2.500"], [1.5, 1250, 2500]),
        (";", ["1.5", "1.250", "2.5"], [1.5, 1.25, 2.5]),  # semicolons, but points throughout
        (",", ['"1,5"', '"1,250"', '"2,5"'], [1.5, 1.25, 2.5]),  # commas in quotes throughout
        (",", ['"1,250"', '"2,500"', '"12,50"'], [1250, 2500, 12.5]),  # one slip is no habit
        (";", ["1.250,5", "12.345.678", "3"], [1250.5, 12345678, 3]),
        (";", ["1,250.5", "2,5", "3,5"], [1250.5, 2.5, 3.5]),  # one cell in another hand
        (",", ['"1,250.5"', '"12,345,678"', "3"], [1250.5, 12345678, 3]),
        (";", ["0.250", "3", "4"], [0.25, 3, 4]),  # no group of digits begins with 0
        ("\t", ["1,5", "1.250", "7"], [1.5, 1250, 7]),
        ("\t", ["1.5", "1,250", "7"], [1.5, 1250, 7]),
        # With the unit glued on:
        (";", ["1.250kN", "2.500kN", "3kN"], [1250, 2500, 3]),  # semicolons: a decimal comma
        (";", ["1.250kN", "2.5kN", "3.5kN"], [1.25, 2.5, 3.5]),  # but points show throughout
        (",", ["1.250kN", "2.500kN", "3kN"], [1.25, 2.5, 3]),
        (",", ['"1,250kN"', '"2,5kN"', '"3,5kN"'], [1.25, 2.5, 3.5]),
        ("\t", ["1.250kN", "1,5kN", "7kN"], [1250, 1.5, 7]),
        ("\t", ["1,250kN", "1.5kN", "7kN"], [1250, 1.5, 7]),
    ],
)
def test_decimal_mark_of_the_whole_file(separator, cells, expected):
    heading, unit = ("peak", "kN") if "kN" in cells[0] else ("peak [lbf]", "lbf")
    rows = "".join(f"2{separator}{cell}\n" for cell in cells)
    log = read(f"speed [km/h]{separator}{heading}\n{rows}")
    assert_pulls(log, [2] * len(cells), expected, peak_unit=unit)


@pytest.mark.parametrize(("heading", "cell"), [("peak [lbf]", "1.250"), ("peak", "1.250lbf")])
def test_a_number_that_can_be_read_in_two_ways_is_not_guessed(heading, cell):
    other = "2000" if "[" in heading else "2000 lbf"
    log = read(f"speed [km/h]\t{heading}\n2\t{cell}\n3\t{other}\n")
    assert_pulls(log, [3], [2000])
    assert "can mean 1250 or 1.250" in str(log.problems[0])


def test_a_decimal_comma_without_quotes_is_not_read_as_two_cells():
    log = read("speed [km/h],peak [lbf],note\n3,5,4000,wet\n4,4500,dry\n")
    assert_pulls(log, [4], [4500])
    assert "decimal comma" in str(log.problems[0])


def test_cells_shifted_by_a_decimal_comma_are_pointed_out():
    log = read("speed [km/h],peak [kN],repeat,note\n3,5,12,1,\n4,14,1,\n5,17,1,1st of May\n")
    assert [(finding.row, finding.column) for finding in log.warnings] == [(2, "note")]
    assert "may be shifted" in str(log.outliers[0])


# --- problems: every one with its place -------------------------------------------------


def test_ten_planted_faults_give_ten_sentences():
    text = (
        "speed [km/h];peak [lbf];repeat;note\n"
        "1;1100;1;good\n"
        "zwei;2150;1;a word\n"
        ";2150;1;no speed\n"
        "2;;1;no peak\n"
        "-2;2150;1;negative\n"
        "2;2l50;1;a letter\n"
        "2;0;1;zero\n"
        "2;2150 kg/h;1;unit of neither\n"
        "2;21..50;1;two points\n"
        "500;2150;1;faster than any pull\n"
        "2;2150;1;good\n"
        "3;3200;1;a;b;c\n"
        "3;31000;first;good but for two things\n"
        "4;4300;1;good\n"
        ";;1;neither\n"
        "5;5400;1;good\n"
    )
    log = read(text)
    assert_pulls(log, [1, 2, 3, 3, 4, 5], [1100, 2150, 3200, 31000, 4300, 5400])
    places = [(finding.row, finding.column) for finding in log.problems]
    assert places == [
        (3, "speed [km/h]"),
        (4, "speed [km/h]"),
        (5, "peak [lbf]"),
        (6, "speed [km/h]"),
        (7, "peak [lbf]"),
        (8, "peak [lbf]"),
        (9, "peak [lbf]"),
        (10, "peak [lbf]"),
        (11, "speed [km/h]"),
        (16, "the whole row"),
    ]
    assert len({str(finding) for finding in log.problems}) == 10
    for finding in log.problems:
        assert finding.remedy
        assert str(finding).startswith(f'row {finding.row}, column "{finding.column}": ')
    assert [finding.row for finding in log.outliers] == [14, 14]


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("3;x2", ["x2", "does not start with a number", "such as 4500"]),
        ("3;-500", ["-500", "negative"]),
        ("3;5 ft", ["5 ft", "unit of length"]),
        ("3;2 t", ["2 t", "can mean three things", "short tons"]),
        ("3;", ["the cell is empty"]),
        ("3;0,0", ["0,0", "no pull"]),
        ("3;999999999", ["is too large for a force"]),
        ("3;1e99", ["1e99", "too large"]),
        ("3;" + "9" * 70, ["too large"]),
        ("3;nan", ["nan", "does not start with a number"]),
        ("3;=1+1", ["=1+1"]),
        ("3;1_000", ["1_000"]),
        ("3;;extra;cells", ["4 cells under a heading of 2"]),
        ("mean of all;;", ["neither a speed nor a peak"]),
    ],
)
def test_what_stands_there_and_what_would_do(row, words):
    log = read(f"speed [km/h];peak [lbf]\n{row}\n4;4300\n")
    assert_pulls(log, [4], [4300])
    sentences = " | ".join(map(str, log.problems))
    assert "row 2, " in sentences
    for word in words:
        assert word in sentences


def test_the_advice_speaks_the_unit_of_the_column():
    text = "speed [mph];peak [kN]\nx;x\n4;20\n"
    assert [finding.remedy for finding in read(text).problems] == [
        "write a plain number such as 3.1",
        "write a plain number such as 20",
    ]


def test_a_quote_that_is_never_closed_costs_no_other_row():
    log = read('speed [km/h],peak [lbf],note\n1,1100,"wet\n2,2150,dry\n"3,3100,dry\n4,4200,"\n')
    assert_pulls(log, [1, 2, 3, 4], [1100, 2150, 3100, 4200])
    assert not log.problems


def test_a_note_on_two_lines_costs_no_row():
    log = read('speed [km/h],peak [lbf],note\n1,1100,"wet\nand cold"\n2,2150,dry\n')
    assert_pulls(log, [1, 2], [1100, 2150])
    assert "rest of a note" in str(log.problems[0])


def test_a_cell_with_another_unit_is_kept_and_pointed_out():
    log = read("speed [km/h],peak [lbf]\n1,1100\n2,9.5 kN\n3 mph,5000\n")
    assert_pulls(log, [1, 2, 4.828032], [1100, 9500 / 4.4482216152605, 5000])
    assert [finding.row for finding in log.warnings] == [3, 4]
    assert "was read as 9.5 kN" in str(log.outliers[0])


def test_a_very_long_line_is_no_heading():
    title = "speed, peak, " + "x" * LONGEST_LINE
    assert_pulls(read(f"{title}\nspeed [km/h],peak [lbf]\n2,2150\n"), [2.0], [2150.0])


def test_rows_under_another_heading_are_not_misread():
    log = read("speed [km/h],peak [lbf]\n1,1100\nspeed [mph],peak [kN]\n2,15\n3,22\n")
    assert_pulls(log, [1], [1100])
    assert "another heading" in str(log.problems[0])


def test_a_repeat_that_is_no_number_keeps_its_row():
    log = read("speed [km/h],peak [lbf],repeat\n1,1100,A\n2,2150,1\n1,1150,B\n")
    assert log.round_number.tolist() == [1, 1, 2]
    assert [finding.row for finding in log.outliers] == [2, 4]


def test_a_very_long_row_is_a_problem_and_not_the_end():
    log = read(f"speed [km/h],peak [lbf],note\n1,1100,{'x' * LONGEST_LINE}\n2,2150,\n")
    assert_pulls(log, [2], [2150])
    assert "characters" in str(log.problems[0])
    assert len(str(log.problems[0])) < 200


# --- files that cannot be used ----------------------------------------------------------


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", ["no heading", "speed [km/h],peak [kN]"]),
        (b"\n\n\n", ["no heading"]),
        (b"1,2\n3,4\n", ["no heading", "1,2"]),
        (b"speed [km/h],note\n3,4\n", ["no heading"]),
        (b"speed [km/h],peak [lbf]\n", ["no pull below the heading"]),
        (b"speed [km/h],peak [lbf]\nx,y\n", ["no pull could be read", 'row 2, column "speed']),
        (b"speed,peak [lbf]\n3,4\n", ['"speed" has no unit', '"speed [km/h]"']),
        (b"speed [km/h],peak\n3,4\n", ['"peak" has no unit', '"peak [kN]"']),
        (b"speed [kN],peak [lbf]\n3,4\n", ['column "speed [kN]"', "unit of force"]),
        (b"speed [km/h],peak [t]\n3,4\n", ["can mean three things", "short tons", '"peak [kN]"']),
        (b"speed [km/h],peak [%s]\n3,4\n" % (b"9" * 300), ['column "peak']),
        (b"PK\x03\x04...", ["workbook", "CSV"]),
        (b"\xd0\xcf\x11\xe0...", ["workbook", "CSV"]),
        (b"\x89PNG\r\n\x1a\n\x00\x00", ["picture", "CSV"]),
        (b"\xff\xd8\xff\xe0\0\x10JFIF", ["picture", "CSV"]),
        (b"%PDF-1.4\n%\xe2\xe3", ["PDF", "CSV"]),
        (b"\n" * HEADING_WITHIN + US.encode(), [f"first {HEADING_WITHIN} rows"]),
    ],
)
def test_unusable_files_say_what_would_do(data, words):
    with pytest.raises(FieldLogError) as caught:
        read_log(data)
    for word in words:
        assert word in str(caught.value)
    assert len(str(caught.value)) < 1000


@pytest.mark.parametrize("source", ["", "nowhere.csv", "/", "a\0b", None, 7])
def test_what_is_no_file(source):
    with pytest.raises(FieldLogError, match="write the path of your CSV file"):
        read_log(source)


def test_a_pipe_that_comes_between_looking_and_reading_is_not_waited_for(tmp_path, monkeypatch):
    class FileBefore(type(log_table.Path())):
        def is_file(self):
            return True

        def stat(self):
            return SimpleNamespace(st_size=1)

    os.mkfifo(tmp_path / "pipe")
    monkeypatch.setattr(log_table, "Path", FileBefore)
    with pytest.raises(FieldLogError, match="pipe, not a file"):
        read_log(tmp_path / "pipe")


def test_too_large_a_file_is_refused_before_it_is_read(tmp_path, monkeypatch):
    monkeypatch.setattr(log_table, "MOST_BYTES", 1000)
    path = tmp_path / "large.csv"
    path.write_bytes(US.encode() + b"2,2150,1,\n" * 100)
    with pytest.raises(FieldLogError, match="MB"):
        read_log(path)


def test_too_many_rows_are_refused():
    text = "speed [km/h],peak [lbf]\n" + "2,2150\n" * MOST_ROWS
    assert len(read(text)) == MOST_ROWS
    with pytest.raises(FieldLogError, match="200,000 rows"):
        read(text + "2,2150\n")


@pytest.mark.parametrize(
    "line",
    ["," * 4000, '"' * 4001, " " * 4000, "[" * 4000, "a_" * 2000 + "x", "1" * 4000, "1," * 2000],
    ids=lambda line: repr(line[:3]),
)
def test_no_line_makes_the_reader_slow(line):
    for text in (f"{line}\n{US}", US + f"{line}\n" * 500, US + f"2,{line}\n" * 500):
        start = time.monotonic()
        assert_pulls_include(read(text))
        assert time.monotonic() - start < 20  # hours, if anything in here grew with the square


def assert_pulls_include(log):
    rows = dict(zip(log.speed.m.tolist(), log.peak.m.tolist(), strict=True))
    assert {speed: rows[speed] for speed in SPEEDS} == dict(zip(SPEEDS, PEAKS, strict=True))


def test_many_half_empty_rows_do_not_make_the_reader_slow():
    start = time.monotonic()
    log = read(US + "2,,,\n" * 5_000 + ",2,,\n" * 5_000)
    assert_pulls(log)
    assert len(log.problems) == 10_000
    assert time.monotonic() - start < 20


# --- the template -----------------------------------------------------------------------


@pytest.mark.parametrize("system", ["metric", "US"])
@pytest.mark.parametrize("decimal_comma", [False, True])
def test_a_template_that_is_filled_in_can_be_read(system, decimal_comma):
    display.use(system)
    template = empty_log(decimal_comma)
    with pytest.raises(FieldLogError, match="no pull could be read"):
        read_log(template)
    separator = ";" if decimal_comma else ","
    heading, *rows = csv.reader(io.StringIO(template.decode()), delimiter=separator)
    peaks = [f"{8.5 * float(row[0])}".replace(".", "," if decimal_comma else ".") for row in rows]
    lines = [[row[0], peak, row[2], ""] for row, peak in zip(rows, peaks, strict=True)]
    filled = io.StringIO()
    csv.writer(filled, delimiter=separator).writerows([heading, *lines])
    log = read(filled.getvalue())
    assert not log.problems
    assert log.speed.units == display.system.unit("speed")
    assert log.peak.m == pytest.approx(8.5 * log.speed.m)
    assert sorted(set(log.round_number.tolist())) == [1, 2]


# --- thousands of damaged files ---------------------------------------------------------

FILES = 1_000  # of each kind
HEADINGS = {
    ",": "speed [km/h],peak [lbf],repeat,note",
    ";": "Geschwindigkeit [km/h];Spitze [lbf];Wdh;Bemerkung",
    "\t": "speed (km/h)\tpeak (lbf)\trepeat\tnote",
}
NOTES = ["", "", "dry", "naß", "ten minutes' rest", "grüner Schäkel"]
SCRAPS = [
    *("0123456789" * 3),
    *",;\t.\"'-+ []()%/eE_=",
    *("\0", "\x0b", "\x1c", "\u2028", "\x85", "½", "−", "١", "𝟙", "ß", "\ufeff", "\ufffd"),
    *("lbf", "kN", "km/h", "nan", "inf", "1e9", "speed", "peak [lbf]", '""', "9" * 80),
]


def written(rng, number, mark):
    """A number as this file's writer puts it."""
    text = f"{number:.1f}" if number < 100 and number % 1 else f"{number:.0f}"
    if number >= 1000 and rng.random() < 0.3 and mark is not None:
        grouping = {".": ",", ",": "."}[mark]
        text = f"{number:,.0f}".replace(",", grouping)
    return text.replace(".", ",") if mark == "," and number < 100 else text


def sound_file(rng):
    """A file in one of many hands: how it is written, its lines, and the pulls in them."""
    separator = rng.choice(",;\t")
    mark = rng.choice(".,") if separator != "," else "."
    lines, pulls = [], {}
    for row in range(2, rng.randint(8, 16)):
        speed, peak = rng.randint(2, 16) / 2, float(rng.randint(80, 999) * 10)
        cells = [written(rng, speed, mark), written(rng, peak, mark if row > 4 else None)]
        cells += [str(rng.randint(1, 3)), rng.choice(NOTES)]
        cells = [f'"{cell}"' if separator in cell or rng.random() < 0.1 else cell for cell in cells]
        if row <= 4:
            cells[0] = written(rng, row - 1.5, mark)  # a speed that shows the decimal mark
            speed = row - 1.5
        lines.append(separator.join(cells))
        pulls[row] = (speed, peak)
    return HEADINGS[separator], lines, pulls


def damaged(rng, line):
    """A line after some slips of the hand."""
    for _ in range(rng.randint(1, 4)):
        place = rng.randint(0, len(line))
        slip = rng.random()
        if slip < 0.5:
            line = line[:place] + rng.choice(SCRAPS) + line[place:]
        elif slip < 0.8:
            line = line[:place] + line[place + rng.randint(1, 4) :]
        elif slip < 0.9:
            line = line[:place] + line
        else:
            line = "".join(rng.choice(SCRAPS) for _ in range(rng.randint(0, 40)))
    return line


def test_damaged_lines_never_cost_a_sound_one():
    rng = random.Random(4)
    kept = 0
    for _ in range(FILES):
        heading, lines, pulls = sound_file(rng)
        hurt = rng.sample(range(3, len(lines)), k=rng.randint(0, min(3, len(lines) - 3)))
        for index in hurt:
            lines[index] = damaged(rng, lines[index])
        blank = rng.randint(0, 2)
        end = rng.choice(["\n", "\r\n", "\r"])
        coding = rng.choice(["utf-8", "utf-8-sig", "utf-16", "cp1252"])
        text = end * blank + end.join([heading, *lines]) + rng.choice(["", end])
        log = read_log(text.encode(coding, errors="replace"))
        found = dict(zip(log.row.tolist(), zip(log.speed.m, log.peak.m, strict=True), strict=True))
        sound = {row + blank: pull for row, pull in pulls.items() if row - 2 not in hurt}
        assert {row: found.get(row) for row in sound} == sound, text
        # Nothing is lost without a word: every other line was read, or is a problem.
        told = {finding.row for finding in log.problems}
        for index in hurt:
            assert index + 2 + blank in told | found.keys() or not lines[index].strip(' \t,;"')
        kept += len(sound)
    assert kept > 4 * FILES


def test_damaged_bytes_raise_nothing_but_the_readers_own_error():
    rng = random.Random(44)
    refused = 0
    for _ in range(FILES):
        heading, lines, _ = sound_file(rng)
        text = "\n".join([heading, *lines])
        data = bytearray(text.encode(rng.choice(["utf-8", "utf-16", "cp1252"]), errors="replace"))
        for _ in range(rng.randint(1, 5)):
            place = rng.randrange(len(data) + 1)
            slip = rng.random()
            if slip < 0.4:
                data[place:place] = bytes([rng.randrange(256)])
            elif slip < 0.7:
                del data[place : place + rng.randint(1, 3)]
            elif slip < 0.9:
                data[place : place + 1] = bytes([rng.randrange(256)])
            else:
                data[place : place + rng.randint(1, 60)] = data[: rng.randint(0, 60)]
        try:
            log = read_log(bytes(data))
        except FieldLogError:
            refused += 1
        else:
            assert np.all(log.peak.m > 0)
            assert all(str(finding) for finding in (*log.problems, *log.outliers))
    assert 0 < refused < FILES / 2
