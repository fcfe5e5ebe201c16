"""Tables: what is in data/, and what a damaged table says."""

import dataclasses
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, ClassVar

import pytest
from helpers.source_tables import CheckValue, PublishedRope, Shackle, Turnbuckle
from hypothesis import given, settings
from hypothesis import strategies as st

from recoverykit import InputError, Q
from recoverykit.tables.marram_point import (
    DemoLetGo,
    DemoLink,
    DemoPull,
    DemoRope,
    DemoStuck,
    DemoVehicle,
)
from recoverykit.tables.records import DATA, INVENTED, Record, TableError, find, read_table, table

HERE = [cls for cls in Record.__subclasses__() if (DATA / cls.file).exists()]

# --- what is there ----------------------------------------------------------------------


@pytest.mark.parametrize("record", HERE, ids=lambda cls: cls.file)
def test_every_row_has_a_source_with_its_mark_or_is_invented(record):
    for row in table(record):
        assert row.source
        if row.source == INVENTED:
            assert row.mark is None
        else:
            assert row.mark.split()[0].strip(",;") in (
                "seen",
                "quoted",
                "memory",
                "derived",
                "equation",
            )


@pytest.mark.parametrize("record", HERE, ids=lambda cls: cls.file)
def test_rows_are_frozen_and_read_once(record):
    rows = table(record)
    assert isinstance(rows, tuple)
    assert rows is table(record)
    with pytest.raises(dataclasses.FrozenInstanceError):
        rows[0].source = "changed"


@pytest.mark.parametrize("path", sorted(DATA.glob("*.csv")), ids=lambda path: path.name)
def test_every_table_says_where_its_rows_come_from(path):
    header = path.read_text(encoding="utf-8").splitlines()[0].split(",")
    assert header[-3:] == ["source", "mark", "note"]


@pytest.mark.parametrize(
    ("record", "column"),
    [
        (PublishedRope, "diameter"),
        (Shackle, "size"),
        (Turnbuckle, "size"),
        (DemoVehicle, "name"),
        (DemoRope, "name"),
        (DemoPull, "name"),
        (CheckValue, "key"),
    ],
)
def test_no_row_is_there_twice(record, column):
    keys = [str(getattr(row, column)) for row in table(record)]
    assert sorted(keys) == sorted(set(keys))


def test_quantities_carry_the_unit_of_the_header_or_of_the_cell():
    assert table(PublishedRope)[0].average_break == Q(33.6, "kip")
    assert find(Shackle, working_load_limit_in_tons=12).size == Q(1.25, "in")
    stamps = [str(row.rating) for row in table(DemoLink) if row.rating is not None]
    assert "165.0 kN" in stamps
    assert "30000.0 lbf" in stamps


@pytest.mark.parametrize("pull", table(DemoPull), ids=lambda pull: pull.name)
def test_a_demo_pull_names_things_that_are_there(pull):
    assert find(DemoVehicle, name=pull.vehicle).mass > Q(0, "kg")
    assert find(DemoVehicle, name=pull.stuck_vehicle).mass > Q(0, "kg")
    assert find(DemoRope, name=pull.rope).length > Q(0, "m")
    links = [row.link for row in table(DemoLink) if row.line == pull.line]
    assert pull.rope in links


@pytest.mark.parametrize("stuck", table(DemoStuck), ids=lambda stuck: stuck.name)
def test_a_stuck_vehicle_names_things_that_are_there(stuck):
    assert find(DemoVehicle, name=stuck.stuck_vehicle).mass > Q(0, "kg")
    assert find(DemoVehicle, name=stuck.vehicle).mass > Q(0, "kg")
    assert stuck.line in {row.line for row in table(DemoLink)}


@pytest.mark.parametrize("let_go", table(DemoLetGo), ids=lambda let_go: let_go.name)
def test_a_piece_that_lets_go_is_a_part_of_a_line(let_go):
    assert find(DemoRope, name=let_go.rope).breaking_strength > let_go.tension
    (line,) = {row.line for row in table(DemoLink) if row.link == let_go.piece}
    assert let_go.rope in {row.link for row in table(DemoLink) if row.line == line}


def test_the_invented_world_keeps_off_the_figures_of_field_practice():
    """The demo's figures are our own; those of common practice are check values only."""
    for rope in table(DemoRope):
        assert not Q(6, "m") <= rope.length <= Q(9, "m")
        assert not Q(22, "mm") <= rope.diameter <= Q(26, "mm")
    for link in table(DemoLink):
        if link.rating is not None:
            assert abs(link.rating / Q(4.75, "force_ton") - 1) > 0.02
            assert abs(link.rating / Q(47_000, "lbf") - 1) > 0.02


def test_find_takes_the_row_or_names_those_there_are():
    assert find(DemoVehicle, name="crew car").mass == Q(1850, "kg")
    with pytest.raises(InputError, match="no row with name='bus'; there are 'launch truck', 'crew"):
        find(DemoVehicle, name="bus")


# --- check values -----------------------------------------------------------------------


def a_check_value(printed, unit):
    return CheckValue(
        source="a book", mark="seen", note=None, key="k", problem="p", given={}, answer="a",
        printed=printed, unit=unit,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("printed", "unit", "half_a_unit"),
    [
        ("11.0", "in", 0.05),
        ("9.21", "in", 0.005),
        ("5", "m/s", 0.5),
        ("12320", "lbf", 0.5),
        ("121.47e3", "lbf/ft", 5),
        ("7.81e5", "N/m", 500),
        ("-35", "J", 0.5),
        ("4.6", None, 0.05),
    ],
)
def test_the_rounding_is_half_a_unit_of_the_last_digit(printed, unit, half_a_unit):
    value = a_check_value(printed, unit)
    assert value.value == Q(float(printed), unit or "")
    assert value.rounding.m == pytest.approx(half_a_unit)
    for sign in (-1, 1):
        assert value.agrees(value.value + sign * 0.999 * value.rounding)
        assert not value.agrees(value.value + sign * 1.001 * value.rounding)


def test_a_check_value_is_compared_in_any_unit():
    value = a_check_value("0.235", "m")
    assert value.agrees(Q(0.772, "ft"))
    assert not value.agrees(Q(0.235, "ft"))
    assert a_check_value("4.6", None).agrees(4.606)


@pytest.mark.parametrize("row", table(CheckValue), ids=lambda row: row.key)
def test_given_values_are_quantities_by_name(row):
    assert row.given
    for name, value in row.given.items():
        assert name.isidentifier()
        assert isinstance(value, Q)
    with pytest.raises(TypeError):
        row.given["more"] = 1


def test_problems_that_share_their_givens_agree_on_them():
    """Rows of one problem repeat its givens; a slip in one of them would go unseen."""
    givens = {}
    for row in table(CheckValue):
        shared = {name: q for name, q in row.given.items() if name != "fall_factor"}
        assert givens.setdefault((row.problem, row.source), shared) == shared


def test_every_check_value_is_checked():
    """Lessons print these values: none may stand there that no test of published values reads."""
    tests = (Path(__file__).parents[1] / "published").glob("test_*.py")
    text = "\n".join(test.read_text(encoding="utf-8") for test in tests)
    assert [row.key for row in table(CheckValue) if f'"{row.key}"' not in text] == []


# --- damaged tables ---------------------------------------------------------------------


@dataclass(frozen=True)
class Part(Record):
    """A table for these tests."""

    file: ClassVar[str] = "parts.csv"

    name: str
    stamped_load: Annotated[Q, "force"]
    factor: float | None
    size: Annotated[Q | None, "diameter"]


HEADER = "name,stamped load [kN],factor,size,source,mark,note\n"
ROW = "hook,20,5,3/4 in,a book,seen,\n"


@pytest.fixture
def write(tmp_path):
    def write(content):
        path = tmp_path / "parts.csv"
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path

    return write


def test_a_good_table(write):
    (row,) = read_table(write(HEADER + ROW), Part)
    assert row == Part(
        name="hook", stamped_load=Q(20.0, "kN"), factor=5.0, size=Q(0.75, "in"),
        source="a book", mark="seen", note=None,
    )  # fmt: skip


@pytest.mark.parametrize(
    "content",
    [
        "\ufeff" + HEADER + ROW,  # as some spreadsheets save
        (HEADER + ROW).replace("\n", "\r\n"),
        HEADER + "\n" + ROW + ",,,,,,\n\n",
        "note,mark,source,size,factor,stamped load [kN],name\n,seen,a book,3/4 in,5,20,hook\n",
        "name,stamped load,factor,size [in],source,mark,note\nhook,20 kN,5,3/4,a book,seen,\n",
        HEADER.replace(",", " , ") + ROW.replace(",", " , "),
    ],
)
def test_harmless_differences(write, content):
    assert read_table(write(content), Part) == read_table(write(HEADER + ROW), Part)


def test_empty_optional_cells_are_none(write):
    (row,) = read_table(write(HEADER + "hook,20,,,invented,,\n"), Part)
    assert (row.factor, row.size, row.mark, row.note) == (None, None, None, None)


@pytest.mark.parametrize(
    ("content", "fault"),
    [
        (HEADER + "hook,20x,5,,a book,seen,\n", 'row 2, column "stamped load [kN]": '),
        (
            HEADER + ROW + "hook,,5,,a book,seen,\n",
            'row 3, column "stamped load [kN]": the cell is',
        ),
        (HEADER + "hook,-2,5,,a book,seen,\n", "is negative"),
        (HEADER + "hook,20 kN,5,,a book,seen,\n", "'20 kN kN'|'kN kN' is not known"),
        (HEADER + "hook,20,five,,a book,seen,\n", 'row 2, column "factor": '),
        (HEADER + "hook,20,5,3 kg,a book,seen,\n", "'kg' is a unit of mass, not of diameter"),
        (HEADER + "hook,20,5,3,a book,seen,\n", 'column "size": the unit is missing'),
        (HEADER + ",20,5,,a book,seen,\n", 'row 2, column "name": the cell is empty'),
        (HEADER + "hook,20,5,,,seen,\n", 'row 2, column "source": the cell is empty'),
        (HEADER + "hook,20,5,,a book,,\n", "row 2: a source needs a mark"),
        (HEADER + "hook,20,5\n", "row 2: it has 3 cells, the heading has 7"),
        (HEADER + ROW.strip() + ",more\n", "row 2: it has 8 cells, the heading has 7"),
        (HEADER, "has no rows"),
        ("", "row 1: missing: 'source'|row 1: the column '' is not known"),
        (HEADER.replace("factor", "fakter") + ROW, "row 1: the column 'fakter' is not known"),
        (HEADER.replace(",note", "") + ROW, "row 1: missing: 'note'"),
        (HEADER.replace("note", "mark") + ROW, "row 1: the column 'mark' is there twice; missing"),
        (HEADER.replace("kN", "stones") + ROW, "the unit 'stones' is not known"),
        ((HEADER + ROW).replace(",", ";"), "row 1: the column 'name;stamped load"),
        ((HEADER + ROW).encode("utf-16"), "cannot be read"),
        (HEADER + '"hook,20\n', "cannot be read|it has"),
        (b"\x89PNG\r\n\x1a\n\0\0\0", "cannot be read|is not known"),
    ],
)
def test_damage_is_named_with_file_row_and_column(write, content, fault):
    path = write(content)
    with pytest.raises(TableError) as error:
        read_table(path, Part)
    message = str(error.value)
    assert str(path) in message
    assert any(option in message for option in fault.split("|")), message


def test_all_faults_of_a_table_are_named_at_once(write):
    damaged = "hook,20x,five,,a book,seen,\n" + ROW + "eye,20,5,,,,\n"
    with pytest.raises(TableError) as error:
        read_table(write(HEADER + damaged), Part)
    places = [line.split(", ", 1)[1].split(": ")[0] for line in str(error.value).splitlines()]
    assert places == [
        'row 2, column "stamped load [kN]"',
        'row 2, column "factor"',
        'row 4, column "source"',
    ]


def test_a_missing_table_is_named(tmp_path):
    with pytest.raises(TableError, match=r"parts\.csv is missing; get a fresh copy of the course"):
        read_table(tmp_path / "parts.csv", Part)


def test_a_folder_is_no_table(tmp_path):
    with pytest.raises(TableError, match="cannot be read"):
        read_table(tmp_path, Part)


cells = st.text(alphabet='ab1.,;"[]\n\r =kNm/\0é', max_size=12)


@given(st.lists(st.lists(cells, max_size=9), max_size=4), st.booleans())
@settings(max_examples=150, deadline=None)
def test_any_text_is_a_table_or_a_table_error(tmp_path_factory, rows, with_header):
    content = HEADER * with_header + "\n".join(",".join(row) for row in rows)
    path = tmp_path_factory.getbasetemp() / "any.csv"
    path.write_text(content, encoding="utf-8", newline="")
    try:
        records = read_table(path, Part)
    except TableError:
        return
    assert records
