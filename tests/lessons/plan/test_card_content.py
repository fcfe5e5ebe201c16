"""The pull card: what stands on it, in one system and in two, and when there is none."""

import dataclasses
import re

import pytest

from recoverykit import Link, Q, Rating, RiggingLine, display
from recoverykit.lessons.plan.card_content import (
    DANGER,
    MARK,
    OWN_VALUES,
    SIGNALS,
    NoCardError,
    own_values,
    pull_card,
)
from recoverykit.physics.ground import RecoveryVehicle, StuckVehicle
from recoverykit.physics.plan import CAUTION, ROLLS_FREE, InputUncertainty, plan_pull
from recoverykit.physics.rigging import bridle, demo_line, factor
from recoverykit.physics.rope import demo_rope
from recoverykit.physics.uncertainty import Uncertain
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import METRIC, US

TRUCK = RecoveryVehicle(Q(3100, "kg"), "gravel")
CAR = StuckVehicle(Q(1850, "kg"), "wet sand", mire="wheels")


def between_points(*links):
    """A whole line: these links, and a strong point of each vehicle."""
    eye = Rating(Q(200, "kN"), "working load limit")
    return RiggingLine([Link("tow eye", eye), *links, Link("front eye", eye)])


def card(line=None, systems=(METRIC,), vehicle=TRUCK, stuck_vehicle=CAR, **more):
    line = line or demo_line()
    plan = plan_pull(vehicle, stuck_vehicle, demo_rope(), line)
    return pull_card(plan, line, demo_rope(), vehicle, stuck_vehicle, systems, **more)


def words_of(card):
    """All that stands on a card."""
    cells = [cell for table in (card.line, card.ladder) for row in table.rows for cell in row]
    facts = [word for fact in card.facts for word in fact]
    roles = [word for role in card.roles for word in role]
    signals = [word for signal in SIGNALS for word in signal]
    return [
        *card.vehicles,
        card.case,
        card.work,
        *card.ladder_rules,
        *facts,
        *cells,
        *roles,
        *signals,
        *card.keep_clear,
        *card.cautions,
        card.assumed,
    ]


# --- the line ---------------------------------------------------------------------------


def test_every_part_is_there_with_both_limits():
    rows = card().line.rows
    assert [row[0].partition(":")[0] for row in rows] == [link.name for link in demo_line().links]
    for row, link in zip(rows, demo_line().links, strict=True):
        for cell, limit in zip(
            row[2:], (link.working_load_limit, link.breaking_strength), strict=True
        ):
            shown = read_quantity(cell, "force").quantity
            assert shown.m_as("kN") == pytest.approx(limit.m_as("kN"), rel=0.005)


def test_the_lowest_limit_is_marked_in_words():
    table = card().line
    assert table.rows[table.marked][0] == "soft shackle: lowest limit"
    assert sum("lowest limit" in row[0] for row in table.rows) == 1


def test_a_stamp_is_told_with_its_basis_factor_and_rigging():
    line = between_points(
        Link("rope", Rating(Q(60, "kN"), "working load limit")),
        Link("strap", Rating(Q(50, "kN"), "working load limit", 7), [factor("choked")]),
        Link(
            "bridle",
            Rating(Q(160, "kN"), "minimum breaking strength", 4),
            [bridle(Q(30, "degree")), factor("wet")],
        ),
    )
    _, rope, strap, legs, _ = card(line).line.rows
    assert rope[1:] == ("working load limit", "60 kN", "not known")
    assert strap[1:] == ("working load limit, factor 7; choked: × 0.80", "40 kN", "280 kN")
    assert legs[1] == "breaking strength, factor 4; two legs at 30°, wet: × 1.47"


# --- the ladder -------------------------------------------------------------------------


def test_the_ladder_is_that_of_the_plan_with_blanks_for_what_is_measured():
    plan = plan_pull(TRUCK, CAR, demo_rope(), demo_line())
    rows = card().ladder.rows
    assert [row[:2] for row in rows] == [("1", "steady pull"), ("2", "4 km/h")]
    for row, step in zip(rows, plan.steps, strict=True):
        numbers = [float(number) for number in re.findall(r"\d+\.?\d*", row[2])]
        low, median, high = (edge.m_as("kN") for edge in step.peak)
        assert numbers == pytest.approx([median, low, high], rel=0.005)
        assert row[3] in ("likely enough", "possibly enough", "unlikely to be enough", "not enough")
        assert row[4:] == ("", "", "")


def test_that_the_line_may_part_is_on_the_card():
    plan = plan_pull(TRUCK, CAR, demo_rope(), demo_line())
    some = dataclasses.replace(plan.steps[-1], parting_chance=0.0123)
    plan = dataclasses.replace(plan, steps=(*plan.steps[:-1], some))
    rows = pull_card(plan, demo_line(), demo_rope(), TRUCK, CAR).ladder.rows
    assert "The line may part: " in rows[-1][3]
    assert not any("part" in row[3] for row in rows[:-1])


def test_the_facts_are_limit_its_speed_and_the_fastest_step():
    limit, speed, fastest = card().facts
    assert limit == ("Limit of the line", "26.7 kN", "soft shackle")
    # The low end: the middle would be passed in half of the cases.
    assert speed[1:] == ("5.2 km/h", "95 of 100 cases: 5.2 to 8.7 km/h")
    assert fastest[1:] == ("4 km/h", "usual ceiling: about 8 km/h, 5 mph")
    low = plan_pull(TRUCK, CAR, demo_rope(), demo_line()).limit_speed.band.low
    said = card(systems=(METRIC, US)).facts[1][1]
    for number, unit in re.findall(r"([\d.]+) (km/h|mph)", said):
        assert low.m_as(unit) - 0.1 < float(number) <= low.m_as(unit)  # never rounded up


def test_a_ladder_of_one_step_says_so():
    weak = between_points(Link("rope", Rating(Q(7, "kN"), "working load limit", 5)))
    grass = RecoveryVehicle(Q(3100, "kg"), "wet grass")
    one = card(weak, vehicle=grass, stuck_vehicle=StuckVehicle(Q(1000, "kg"), "gravel"))
    assert len(one.ladder.rows) == 1
    assert one.facts[2][1] == "steady pull only"


def test_the_case_is_told_and_the_work_that_the_ladder_counts_on():
    worked = dataclasses.replace(
        CAR,
        slope=Uncertain.between(Q(2, "degree"), Q(4, "degree")),
        unloaded=Q(300, "kg"),
        reductions=("dig out", "lay boards"),
    )
    told = card(stuck_vehicle=worked)
    assert told.case == (
        "Worked out for: stuck vehicle in wet sand, mired up to its wheels, 3° uphill; "
        "recovery vehicle on gravel; rope 11 m, stretch at break 30 %."
    )
    assert told.work == (
        "Before the first pull: dig out, lay boards, take 300 kg off the stuck vehicle. The ladder "
        "counts on it. How much the work helps is an invented figure, nothing measured: it may "
        "help less, and then a step starts the vehicle less often than stands here."
    )
    assert "300 kg (661 lb)" in card(stuck_vehicle=worked, systems=(METRIC, US)).work
    plain = card(stuck_vehicle=StuckVehicle(Q(1850, "kg"), "wet sand"))
    assert "not mired, on the level;" in plain.case
    down = card(stuck_vehicle=StuckVehicle(Q(1850, "kg"), "wet sand", slope=Q(-2, "degree")))
    assert "not mired, 2° downhill;" in down.case
    assert plain.work == ""


# --- units ------------------------------------------------------------------------------

NUMBER_WITH_UNIT = r"[\d.] (km/h|kN|kg|m|mph|lbf|lb|ft)\b"


@pytest.mark.parametrize(
    ("systems", "units"),
    [
        ((METRIC,), {"km/h", "kN", "kg", "m"}),
        ((US,), {"mph", "lbf", "lb", "ft"}),
        ((METRIC, US), {"km/h", "kN", "kg", "m", "mph", "lbf", "lb", "ft"}),
    ],
)
def test_units_are_those_that_were_asked_for(systems, units):
    display.use(systems[0].name)
    both = "usual ceiling: about 8 km/h, 5 mph"
    text = "\n".join(words_of(card(systems=systems))).replace(both, "")
    assert set(re.findall(NUMBER_WITH_UNIT, text)) == units


def test_in_both_systems_each_amount_is_said_twice():
    display.use("US")
    both = card(systems=(US, METRIC))
    assert both.vehicles == (
        "Recovery vehicle, 6,830 lb (3100 kg)",
        "Stuck vehicle, 4,080 lb (1850 kg)",
    )
    assert both.facts[0][1] == "6,000 lbf (26.7 kN)"
    assert both.ladder.rows[1][1] == "2 mph (3.2 km/h)"
    first, second = both.ladder.rows[1][2].splitlines()
    assert first.count("lbf") == second.count("kN") == 1
    assert "36.1 ft (11 m)" in both.keep_clear[0]
    assert re.search(r"may see [\d,]+ lbf \([\d.]+ kN\), beyond its limit", both.ladder_rules[0])
    hill = card(systems=(US, METRIC), stuck_vehicle=dataclasses.replace(CAR, slope=Q(3, "degree")))
    assert ", 3° uphill;" in hill.case


# --- cautions ---------------------------------------------------------------------------


def test_cautions_are_there_and_no_promise():
    text = words_of(card())
    assert DANGER in text
    assert CAUTION in text
    assert not re.search(r"\bsafe", " ".join(text), re.IGNORECASE)


def test_a_card_is_marked_until_every_value_is_confirmed():
    assert card().mark == MARK == "EXAMPLE WITH INVENTED VALUES"
    assert card(unconfirmed=()).mark == card(unconfirmed=()).why_marked == ""
    for name in OWN_VALUES:
        one_left = card(unconfirmed=[name])
        assert one_left.mark == MARK
        assert one_left.why_marked == (
            f"Not for a real pull. Not confirmed as the user's own: {name}."
        )


def test_what_is_confirmed_is_told_in_words():
    display.use("US")
    said = own_values(
        TRUCK,
        dataclasses.replace(CAR, unloaded=Q(300, "kg"), reductions=["dig out"]),
        Q(9, "m"),
        Q(25, "percent"),
        demo_line(),
        US,
    )
    assert said == {
        "recovery vehicle": "6,830 lb, on gravel",
        "stuck vehicle": "4,080 lb, in wet sand, mired up to its wheels, on the level; before the "
        "pull: dig out, take 661 lb off the stuck vehicle",
        "rope": "29.5 ft long, stretch at break 25 %",
        "line": (
            "5 parts, from recovery point of the launch truck to recovery eye of the stuck vehicle"
        ),
    }


def test_the_card_says_what_the_plan_assumed():
    def assumed(**input_uncertainty):
        plan = plan_pull(
            TRUCK,
            CAR,
            demo_rope(),
            demo_line(),
            input_uncertainty=InputUncertainty(**input_uncertainty),
        )
        return pull_card(plan, demo_line(), demo_rope(), TRUCK, CAR).assumed

    usual = assumed()
    for said in (
        "speed up to 1 km/h off",
        "at most 30 % of the grip",
        "moved 1 m;",
        "80 % to 125 % of its",
    ):
        assert said in usual
    other = assumed(
        speed_off=Q(2, "km/h"),
        drive=Uncertain.between(Q(0.0, ""), Q(0.2, "")),
        stiffness=Uncertain.between(Q(0.9, ""), Q(1.5, "")),
    )
    for said in ("speed up to 2 km/h off", "at most 20 % of the grip", "90 % to 150 % of its"):
        assert said in other


@pytest.mark.parametrize(
    ("reduced", "invented"),
    [({}, False), ({"unloaded": Q(300, "kg")}, False), ({"reductions": ["dig out"]}, True)],
)
def test_the_card_says_that_nobody_measured_what_the_work_does(reduced, invented):
    work = card(stuck_vehicle=dataclasses.replace(CAR, **reduced)).work
    assert ("is an invented figure, nothing measured" in work) == invented


def test_the_driver_is_told_with_how_much_of_the_grip_the_peaks_count():
    def told_by(input_uncertainty):
        plan = plan_pull(TRUCK, CAR, demo_rope(), demo_line(), input_uncertainty=input_uncertainty)
        roles = dict(pull_card(plan, demo_line(), demo_rope(), TRUCK, CAR).roles)
        return roles["Recovery driver"]

    assert "up to 30 % of the pull the tires can give" in told_by(InputUncertainty())
    half = InputUncertainty(drive=Uncertain.between(Q(0.0, ""), Q(0.5, "")))
    assert "up to 50 % of the pull the tires can give" in told_by(half)


def test_the_driver_is_told_in_both_systems():
    both, metric = (dict(card(systems=s).roles) for s in ((METRIC, US), (METRIC,)))
    assert "before it has moved 1 m (3 ft)." in both["Recovery driver"]
    assert "before it has moved 1 m." in metric["Recovery driver"]


def test_the_driver_of_a_stuck_vehicle_that_may_roll_on_is_told():
    downhill = StuckVehicle(Q(1850, "kg"), "dry earth", mire="fenders", slope=Q(-8, "degree"))
    ground = RecoveryVehicle(Q(3100, "kg"), "dry road")
    strong = between_points(Link("rope", Rating(Q(160, "kN"), "minimum breaking strength", 2)))
    assert any(ROLLS_FREE in told for _, told in card(strong, (METRIC,), ground, downhill).roles)
    assert not any(ROLLS_FREE in told for _, told in card().roles)


# --- no card ----------------------------------------------------------------------------


@pytest.mark.parametrize("missing", ["tow eye", "front eye"])
def test_without_both_points_there_is_no_card(missing):
    whole = between_points(Link("rope", Rating(Q(160, "kN"), "minimum breaking strength", 4)))
    assert card(whole).mark
    with pytest.raises(NoCardError, match="The line is not complete"):
        card(RiggingLine([link for link in whole.links if link.name != missing]))


def test_with_an_unrated_part_there_is_no_card():
    with pytest.raises(NoCardError, match=r"no ladder to print: unknown.+tow ball of the launch"):
        card(demo_line("line over a tow ball"))


@pytest.mark.parametrize(
    ("vehicle", "stuck_vehicle", "says"),
    [
        (TRUCK, StuckVehicle(Q(4200, "kg"), "soft mud", mire="cab"), "reduce the resistance first"),
        (RecoveryVehicle(Q(9000, "kg"), "dry road"), CAR, "the tires alone can load this line"),
        (
            TRUCK,
            StuckVehicle(Q(1850, "kg"), "gravel", slope=Q(-10, "degree")),
            "held back, not pulled",
        ),
    ],
)
def test_without_a_ladder_there_is_no_card(vehicle, stuck_vehicle, says):
    with pytest.raises(NoCardError, match=says):
        card(vehicle=vehicle, stuck_vehicle=stuck_vehicle)
