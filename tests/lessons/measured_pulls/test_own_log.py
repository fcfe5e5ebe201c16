"""A log of one's own: files as spreadsheets write them, faults, templates, and what is kept."""

import io
import re
from datetime import UTC, datetime

import pytest
from helpers.printed import printed
from PIL import Image

from recoverykit.course.gear import ROPES, Gear
from recoverykit.course.page import DOTS_PER_INCH, MARGIN, PAPERS, as_pdf, as_png
from recoverykit.lessons import ExtrapolationPanel, OwnLog, RecordSaver
from recoverykit.lessons.measured_pulls import record
from recoverykit.lessons.measured_pulls.keep_day import DayKeeper
from recoverykit.lessons.measured_pulls.record_content import (
    CAUTIONS,
    TITLE,
    pull_record,
)
from recoverykit.lessons.measured_pulls.record_page import record_page
from recoverykit.measurements.log_table import MOST_BYTES
from recoverykit.measurements.reading import empty_log
from recoverykit.measurements.session import CurrentSession, demo_session, read_session
from recoverykit.physics.rigging import demo_line
from recoverykit.units.quantities import Q, display

SPEEDS, PEAKS = (2, 3, 4.5, 6), (7.1, 10.6, 16.2, 21.25)

# As a spreadsheet saves it: with Windows line ends.
AMERICAN = "Speed (mph),Peak (lbf),Repeat,Note\r\n" + "".join(
    f'{v},"{1000 * f:,.0f}",{n},"wet, gusty"\r\n'
    for n in (1, 2)
    for v, f in zip(SPEEDS, PEAKS, strict=True)
)

ONE_FAULT = b"speed [km/h],peak [kN]\n2,7.1\n3,1O.6\n"


@pytest.fixture
def own(tmp_path):
    return OwnLog(CurrentSession(), folder=tmp_path)


def test_it_starts_with_marram_point(own):
    assert own.sentence.startswith("Marram Point (invented): 12 pulls")


@pytest.mark.parametrize(
    ("faults", "listed", "more"),
    [(0, 0, ""), (1, 1, ""), (100, 100, ""), (101, 100, "And 1 more.")],
)
def test_each_fault_is_listed_up_to_a_hundred(own, faults, listed, more):
    rows = "".join(f"3,oops{number}\n" for number in range(faults))
    own.open_bytes(f"speed [km/h],peak [kN]\n2,7.1\n{rows}".encode(), "today.csv")
    assert len(own.problems) == faults
    assert own._reply.value.count("<li>") == listed
    assert re.findall(r"And \d+ more\.", own._reply.value) == [more] * bool(more)


def test_one_cause_gets_one_sentence(own):
    own.open_bytes(b"speed [km/h],peak [kN]\n2,7.1\n" + 101 * b"3,oops\n", "today.csv")
    (problem,) = own.problems
    assert problem.startswith('Rows 3, 4, 5, 6, 7 and 96 more, column "peak [kN]": "oops" cannot')
    assert "101 places could not be read" in own.sentence


# --- which column is which --------------------------------------------------------------

FOREIGN = "nopeus;veto;kierros\n2;7,1;1\n4;14,2;1\n2;7,3;2\n"


def shown(own):
    return own.chooser.view.layout.display is None


def test_where_headings_are_not_known_the_first_rows_are_shown_and_asked_about(own):
    assert not shown(own)
    own.open_bytes(FOREIGN.encode(), "finnish.csv")
    assert shown(own)
    assert "Or say below which column is which." in own.sentence
    assert re.findall(r">([^<>]+)</td>", own.chooser._rows.value)[:6] == [
        *("nopeus", "veto", "kierros"),
        *("2", "7,1", "1"),
    ]
    button = own.chooser._read
    for role, column in (("speed", 0), ("peak", 0), ("round", 2)):
        assert button.disabled
        own.chooser.columns[role].value = column
    own.chooser.units["speed"].value = "km/h"
    assert button.disabled  # no unit of the peak
    own.chooser.units["peak"].value = "kN"
    assert button.disabled  # one column for two things
    own.chooser.columns["peak"].value = 1
    assert not button.disabled
    button.click()
    log = own._book.session.log
    assert not shown(own)
    assert log.speed.m_as("km/h").tolist() == [2, 4, 2]
    assert log.peak.m_as("kN").tolist() == [7.1, 14.2, 7.3]
    assert log.round_number.tolist() == [1, 1, 2]
    assert own._book.session.name == "finnish.csv"


def test_swapped_columns_are_asked_about_and_never_exchanged_unasked(own):
    own.open_bytes(b"speed [km/h],peak [lbf]\n900,1\n1800,2\n2700,3\n", "today.csv")
    assert "Swapped? What stands under" in own.sentence
    assert own._book.session.invented
    own.chooser.columns["speed"].value = 1
    own.chooser.columns["peak"].value = 0
    own.chooser.units["speed"].value, own.chooser.units["peak"].value = "mph", "lbf"
    own.chooser._read.click()
    assert own._book.session.log.speed.m_as("mph").tolist() == [1, 2, 3]
    assert own._book.session.log.peak.m_as("lbf").tolist() == [900, 1800, 2700]


def test_a_choice_without_numbers_says_so_and_may_be_changed(own):
    own.open_bytes(b"a;b;c\nx;2;7\ny;4;14\n", "today.csv")
    own.chooser.columns["speed"].value, own.chooser.columns["peak"].value = 0, 2
    own.chooser.units["speed"].value, own.chooser.units["peak"].value = "km/h", "kN"
    own.chooser._read.click()
    assert "No row has numbers in both of these columns" in own.sentence
    assert shown(own)
    own.chooser.columns["speed"].value = 1
    own.chooser._read.click()
    assert own._book.session.log.peak.m_as("kN").tolist() == [7, 14]


def test_another_file_or_marram_point_ends_the_question(own):
    own.open_bytes(FOREIGN.encode(), "finnish.csv")
    own.open_bytes(AMERICAN.encode(), "today.csv")
    assert not shown(own)
    own.open_bytes(FOREIGN.encode(), "finnish.csv")
    own.open_demo()
    assert not shown(own)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"PK\x03\x04 and so on", "workbook"),
        (b"x" * (MOST_BYTES + 1), "20\N{NO-BREAK SPACE}MB"),
        (b"<b>speed [km/h]</b>,peak [kN]", "&lt;b&gt;"),
    ],
)
def test_what_is_no_log_gets_a_sentence_and_the_last_one_stays(own, content, words):
    own.open_bytes(AMERICAN.encode(), "today.csv")
    session = own._book.session
    own.open_bytes(content, "other")
    assert words in own._reply.value
    assert own.sentence.endswith("Until then today.csv stays open.")
    assert own._book.session is session
    assert "<b>" not in own._reply.value


@pytest.mark.parametrize("path", ["nowhere.csv", "", " ", "\0", "~nobody-here/x.csv", "x" * 5000])
def test_a_path_that_leads_nowhere_gets_a_sentence(own, path):
    own.open_path(path)
    assert own.sentence.endswith("Until then Marram Point (invented) stays open.")
    assert own._book.session.name.startswith("Marram Point")


def test_a_path_may_be_pasted_with_quotes_and_home(own, tmp_path, monkeypatch):
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    (tmp_path / "today.csv").write_text(AMERICAN)
    own.open_path('"~/today.csv" ')
    assert own.sentence.startswith("today.csv: 8 pulls")


def test_the_same_file_can_be_chosen_again(own):
    def choose(content):
        file = {"name": "a.csv", "type": "", "size": 1, "last_modified": datetime.now(UTC)}
        own._upload.value = ({**file, "content": memoryview(content)},)

    for _ in range(2):
        choose(ONE_FAULT)
        assert own.problems
        choose(AMERICAN.encode())
        assert own.problems == []
    own.open_demo()
    assert own.sentence.startswith("Marram Point")


@pytest.mark.parametrize("decimal_comma", [False, True])
def test_a_template_is_written_and_told(own, tmp_path, decimal_comma):
    own.write_template(decimal_comma)
    own.write_template(decimal_comma)
    assert {path.name for path in tmp_path.iterdir()} == {"my-pulls.csv", "my-pulls-2.csv"}
    assert 'download="my-pulls-2.csv"' in own._template.value
    assert (tmp_path / "my-pulls.csv").read_bytes() == empty_log(decimal_comma)


def test_a_path_is_opened_as_soon_as_it_is_written_and_an_empty_one_is_not(own, tmp_path):
    path = tmp_path / "today.csv"
    path.write_bytes(b"speed [km/h],peak [kN]\n2,7.1\n")
    own._path.value = str(path)
    assert own.sentence.startswith("today.csv: 1 pull at 1 speed")
    own._path.value = ""
    assert own.sentence.startswith("today.csv: 1 pull at 1 speed")
    assert own._repr_mimebundle_()["text/plain"] == own.sentence


@pytest.mark.parametrize(("typed", "shown"), [("5.3 kN", "5.3 kN"), ("1190 lb", "1190 lbf")])
def test_a_peak_at_the_end_of_the_scale_of_the_meter_is_pointed_out(own, typed, shown):
    rows = b"speed [km/h],peak [kN]\n" + b"".join(b"%d,%.2f\n" % (v, 0.89 * v) for v in (2, 3, 4))
    own.open_bytes(rows + b"5,5.28\n6,5.29\n", "today.csv")
    own._meter.value = typed
    found = [str(finding) for finding in own._book.session.log.outliers]
    assert len(found) == 2
    assert all(f"is at the meter's full scale of {shown}" in each for each in found)
    assert "2 places should be looked at again" in own.sentence
    own.open_bytes(rows + b"5,5.29\n", "again.csv")  # the same meter, until it is said otherwise
    assert len(own._book.session.log.outliers) == 1
    own._meter.value = ""
    assert own._book.session.log.full_scale is None
    assert not own._book.session.log.outliers


@pytest.mark.parametrize("typed", ["40", "40 km/h", "0 kN", "-3 kN", "a lot", "5 T"])
def test_what_is_no_full_scale_gets_a_sentence_and_changes_nothing(own, typed):
    own._meter.value = "40 kN"
    session = own._book.session
    own._meter.value = typed
    assert own._book.session is session
    assert own._meter_reply.value
    own._meter.value = "41 kN"
    assert not own._meter_reply.value


# --- the record on paper ----------------------------------------------------------------


def long_day():
    rows = "".join(
        f"{1 + n % 7},{900 * (1 + n % 7) + 13 * n},{1 + n // 7},{'a long note ' * 20}\n"
        for n in range(60)
    )
    return read_session(b"speed [mph],peak [lbf],repeat,note\n" + rows.encode(), "our pulls.csv")


DAYS = {
    "Marram Point": demo_session,
    "long": long_day,
    "one pull": lambda: read_session(b"speed [km/h],peak [kN]\n4,14\n", "one.csv"),
}


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("session", DAYS)
@pytest.mark.parametrize("system", ["metric", "US"])
def test_the_record_is_one_page_with_margins(session, paper, system):
    display.use(system)
    page = record_page(DAYS[session](), demo_line(), paper)
    width, height = (side / 25.4 for side in PAPERS[paper])
    assert tuple(page.get_size_inches()) == pytest.approx((width, height))
    ink = Image.open(io.BytesIO(as_png(page))).convert("L").point(lambda gray: 255 * (gray < 250))
    left, top, right, bottom = (25.4 / DOTS_PER_INCH * edge for edge in ink.getbbox())
    full_width, full_height = PAPERS[paper]
    margins = (left, top, full_width - right, full_height - bottom)
    assert min(margins) > MARGIN - 1.5  # mm: letters on a raster are up to 1 mm wider


def test_the_text_of_the_record(tmp_path):
    session = demo_session().without(4, 12)
    text = printed(as_pdf(record_page(session, demo_line(), "A4"), TITLE), tmp_path)
    assert text.count("\f") == 1
    flat = " ".join(text.split())
    for words in (
        TITLE,
        "EXERCISE. These pulls are invented.",
        "Date",
        "Place",
        "Crew",
        "driver changed",
        "left out, looks wrong",
        "BEYOND THE MEASURED SPEEDS, which end at 6.0 km/h.",
        "At 6.3 km/h the next pull may meet the working limit of 26.7 kN (soft shackle)",
        "Round 2 pulled 6.8 % harder than round 1",
        *CAUTIONS,
    ):
        assert words in flat
    for peak in session.log.peak.m_as("kN"):
        assert f"{peak:.3g}" in flat


def test_the_record_tells_what_was_looked_at_and_what_the_meter_can_show():
    book = CurrentSession(demo_session().without(4))
    book.accept(*book.session.kept.accepted, 12)
    book.set_full_scale(Q(50, "kN"))
    record = pull_record(book.session, demo_line())
    marks = {row[0]: row[4] for row in record.rows if row[4]}
    assert marks == {"4": "left out, looks wrong", "12": "looks wrong, looked at"}
    assert "Looked at, and kept: row 12." in record.source
    assert record.source.endswith("The meter can show 50.0 kN at most.")


def test_saving_tells_where_and_never_overwrites(tmp_path):
    saver = RecordSaver(ExtrapolationPanel(), folder=tmp_path)
    records = [saver.save_record(), saver.save_record("Letter")]
    assert [path.name for path in records] == ["pulls-record.pdf", "pulls-record-2.pdf"]
    assert all(path.read_bytes().startswith(b"%PDF") for path in records)
    picture = saver.save_picture()
    assert picture.read_bytes().startswith(b"\x89PNG")
    assert 'download="pulls.png"' in saver._reply.value
    assert str(tmp_path) in saver._reply.value


def test_while_a_record_is_drawn_that_is_said_and_the_buttons_wait(tmp_path, monkeypatch):
    saver = RecordSaver(ExtrapolationPanel(), folder=tmp_path)
    seen = []

    def look(*_):
        seen.append([each.disabled for each in saver._buttons] + [saver._reply.value])
        return b"%PDF"

    monkeypatch.setattr(record, "as_pdf", look)
    saver.save_record()
    assert seen[0][:2] == [True, True]
    assert "Drawing pulls-record.pdf …" in seen[0][2]
    assert not any(each.disabled for each in saver._buttons)
    assert "Drawing" not in saver._reply.value


# --- a day for the plan -----------------------------------------------------------------


def test_what_was_chosen_stays_when_the_gear_is_looked_at_again(tmp_path):
    ropes = Gear(tmp_path).ropes
    ropes.save(dict.fromkeys(ROPES, "") | {"name": "blue rope"})
    keeper = DayKeeper(CurrentSession(), tmp_path)
    keeper.rope.value = "blue rope"
    ropes.save(dict.fromkeys(ROPES, "") | {"name": "red rope"})
    keeper.look()
    assert keeper.rope.options == ("choose", "blue rope", "red rope")
    assert keeper.rope.value == "blue rope"
