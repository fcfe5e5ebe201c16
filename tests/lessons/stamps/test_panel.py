"""The stamps panel at its start, at its corners, in both systems, and with a guess."""

import pytest

from recoverykit.lessons import StampsPanel
from recoverykit.lessons.stamps.panel import SAME, STAMPS
from recoverykit.lessons.stamps.rigged import RIGGED
from recoverykit.physics.rigging import BREAKING_STRENGTH, WORKING_LOAD_LIMIT, demo_line
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import InputError

LIMITS = ("working_load_limit", "breaking_strength")


@pytest.fixture
def panel():
    return StampsPanel()


def kilonewtons(link):
    return [
        None if force is None else force.m_as("kN")
        for force in (link.working_load_limit, link.breaking_strength)
    ]


def test_it_starts_with_two_stamps_of_the_yard_line(panel):
    ratings = {link.name: link.rating for link in demo_line().links}
    for stamp, name in ((panel.result.a, "bow shackle"), (panel.result.b, "soft shackle")):
        read = read_quantity(STAMPS[name], "force").quantity
        assert read.m_as("N") == pytest.approx(ratings[name].value.m_as("N"))
        assert stamp.link.rating.basis == ratings[name].basis
        assert stamp.link.rating.design_factor == ratings[name].design_factor


def test_both_on_one_basis_by_hand(panel):
    # 3 1/4 short tons are 6500 lbf, times 5; 30,000 lbf divided by 5. A lbf is 4.4482 N.
    assert kilonewtons(panel.result.a.link) == pytest.approx([28.913, 144.57], rel=1e-4)
    assert kilonewtons(panel.result.b.link) == pytest.approx([26.689, 133.45], rel=1e-4)
    assert [panel.result.stronger(limit) for limit in LIMITS] == ["A", "A"]


def test_every_two_extremes(panel):
    seen = set()
    for result in panel.paired_corners():
        missing = bool(result.a.missing or result.b.missing)
        told = [result.stronger(limit) for limit in LIMITS]
        assert missing or None not in told
        assert (told[0] is None) == ("no way to tell" in panel.summary)
        assert (None in told) == ("unknown" in panel.summary)
        seen |= set(told)
    assert seen == {"A", "B", SAME, None}


@pytest.mark.parametrize(
    ("basis", "known"), [(WORKING_LOAD_LIMIT, LIMITS[0]), (BREAKING_STRENGTH, LIMITS[1])]
)
def test_without_a_design_factor_only_the_stamped_limit_is_compared(panel, basis, known):
    panel.set(b_basis=basis, b_factor="not stated")
    (unknown,) = set(LIMITS) - {known}
    assert panel.result.stronger(known) in ("A", "B")
    assert panel.result.stronger(unknown) is None
    assert panel.summary.endswith("B states no design factor.")


def test_a_number_that_does_not_say_what_it_means_tells_nothing(panel):
    panel.set(a_basis="not stated")
    assert kilonewtons(panel.result.a.link) == [None, None]
    assert panel.summary.count("A unknown") == 2
    assert panel.summary.endswith("A doesn't say what its number means.")


def test_all_that_is_missing_is_named(panel):
    panel.set(a_basis="not stated", a_factor="not stated", b_factor="not stated")
    assert panel.summary.endswith(
        "A doesn't say what its number means and B states no design factor."
    )


def test_that_the_larger_number_is_the_weaker_part_is_said_only_where_it_is_so(panel):
    assert panel.summary.startswith("A is stronger, even though B has the larger number. ")
    panel.set(b_stamp="90,000 lbf")
    assert "larger number" not in panel.summary
    panel.set(a_stamp="30 kN", b_stamp="150 kN")
    assert panel.summary.startswith("Neither one is stronger. ")
    assert "larger number" not in panel.summary
    panel.set(a_stamp="4.75 short tons", b_stamp="4.75 tonnes", b_basis=WORKING_LOAD_LIMIT)
    assert panel.summary.startswith("B is stronger. ")


def test_that_the_part_that_is_stronger_in_work_breaks_first_is_said(panel):
    panel.set(a_stamp="30 kN", a_factor="2")  # breaks at 60 kN, B at 133 kN
    assert panel.summary.startswith("A is stronger")
    assert panel.summary.endswith("But A breaks first.")


@pytest.mark.parametrize(
    ("rigged", "left"),
    [
        ("straight, as stamped", 1),
        ("choked", 0.8),
        ("a pair, as a bridle 30° off the pull", 3**0.5),
        ("a pair, as a bridle 60° off the pull", 1),
        ("a rope tied with a bowline", 0.6),
        ("a wet polyamide rope", 0.85),
        ("a shackle pulled 90° sideways", 0.5),
    ],
)
def test_how_b_is_rigged(panel, rigged, left):
    before = kilonewtons(panel.result.b.link)
    panel.set(b_rigged=rigged)
    assert kilonewtons(panel.result.b.link) == pytest.approx([left * force for force in before])
    assert set(RIGGED) == set(panel.inputs[-1].options)


def test_a_bare_ton_is_refused_and_changes_nothing(panel):
    before = panel.summary
    with pytest.raises(InputError, match="A is stamped:\n  a_stamp: 'T' can mean three things"):
        panel.set(a_stamp="4.75 T", b_rigged="choked")
    assert panel.summary == before


def test_the_same_stamp_in_two_units_is_the_same(panel):
    panel.set(a_stamp="4 3/4 short tons", b_stamp="9500 lb", b_basis=WORKING_LOAD_LIMIT)
    assert [panel.result.stronger(limit) for limit in LIMITS] == [SAME, SAME]
    panel.set(a_stamp="4.75 tonnes", b_stamp="4.75 short tons")
    assert panel.result.stronger("working_load_limit") == "A"
