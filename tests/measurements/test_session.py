"""A day of pulls, and the book in which one is open."""

import pytest

from recoverykit import InputError, Q, display
from recoverykit.measurements.session import DEMO_NAME, CurrentSession, demo_session, read_session
from recoverykit.measurements.shapes import STIFFENING

FEW = b"speed [km/h],peak [kN]\n2,7.1\n2,7.3\n4,14.6\n"


class Reader:
    """Something that shows the open day."""

    def __init__(self, book):
        self.shown = []
        book.changed.connect(self.show_session)

    def show_session(self, session):
        self.shown.append(session.name)


def test_a_day_answers_what_its_pulls_can_tell():
    session = demo_session().without(4, 12)
    assert session.comparison.value.candidates[0].shape.name == "stiffening rope"
    assert session.repeats.value.degrees_of_freedom == 4  # the two speeds left were pulled once
    assert (session.drift.value.last, session.drift.value.speeds) == (2, 4)
    assert session.stiffness(Q(3100, "kg")).value.first[0].m_as("kN/m") > 10


def test_too_few_pulls_are_a_reason_and_no_error():
    session = read_session(FEW, "few")
    assert session.comparison.value is None
    assert "pull at 4 speeds or more" in session.comparison.reason
    assert session.drift.value is None
    assert session.repeats.value.degrees_of_freedom == 1


def test_two_speeds_tell_the_stiffness_of_a_straight_rope():
    session = read_session(b"speed [km/h],peak [kN]\n2,7.1\n4,14.6\n", "two")
    assert session.fit(STIFFENING).value is None
    first, at_top = (
        getattr(session.stiffness(Q(3100, "kg")).value, n)[0] for n in ("first", "at_top")
    )
    assert first.m_as("kN/m") == pytest.approx(at_top.m_as("kN/m"))


def test_one_pull_tells_no_stiffness():
    one = read_session(b"speed [km/h],peak [kN]\n2,7.1\n", "one")
    found = one.stiffness(Q(3100, "kg"))
    assert found.value is None
    assert "cannot show a line through the origin" in found.reason


def test_everybody_who_watches_is_told_of_every_change():
    book = CurrentSession()
    reader = Reader(book)
    book.read(FEW, "few")
    book.leave_out(3)
    book.open_demo()
    assert reader.shown == ["few", "few", DEMO_NAME]
    assert len(book.session.kept) == len(book.session.log)


def test_the_log_of_marram_point_has_round_speeds_in_both_systems():
    book = CurrentSession()
    book.leave_out(4)
    book.accept(12)
    reader = Reader(book)
    for system, unit, top in (("US", "mph", 3.5), ("metric", "km/h", 6)):
        display.use(system)
        session = book.session
        assert session.log.speed.max().m_as(unit) == pytest.approx(top)
        assert (session.kept.left_out, session.kept.accepted) == ((4,), (12,))
    assert reader.shown == [DEMO_NAME] * 2


def test_a_log_of_ones_own_stays_as_it_is_in_other_units():
    book = CurrentSession()
    book.read(FEW, "few")
    before = book.session
    display.use("US")
    assert book.session is before


def test_what_cannot_be_done_changes_nothing():
    book = CurrentSession()
    book.read(FEW, "few")
    reader = Reader(book)
    slips = (
        (lambda: book.leave_out(99), "no pull in row 99"),
        (lambda: book.accept(99), "no pull in row 99"),
        (lambda: book.leave_out(2, 3, 4), "no pull would be left"),
        (lambda: book.read(b"", "empty"), "no heading"),
    )
    for slip, why in slips:
        with pytest.raises(InputError, match=why):
            slip()
    assert book.session.name == "few"
    assert reader.shown == []


def test_a_row_is_left_out_or_stays_and_a_full_scale_changes_neither():
    assert demo_session().rows_to_look_at == {4, 12}
    looked_at = demo_session().with_accepted(4, 12)
    assert looked_at.rows_to_look_at == set()
    one_each = looked_at.without(4)
    for session in (one_each, demo_session().without(4, 12).with_accepted(12)):
        assert (session.kept.left_out, session.kept.accepted) == ((4,), (12,))
    full = one_each.with_full_scale(Q(30, "kN"))
    assert (full.kept.left_out, full.kept.accepted) == ((4,), (12,))
    assert full.kept.full_scale == full.log.full_scale == Q(30, "kN")


def test_what_the_meter_can_show_holds_for_later_logs_too():
    book = CurrentSession()
    book.set_full_scale(Q(30, "kN"))
    with pytest.raises(InputError):
        book.set_full_scale(Q(-1, "kN"))
    for opened in (lambda: book.read(FEW, "few"), book.open_demo):
        opened()
        assert book.session.log.full_scale == book.full_scale == Q(30, "kN")
