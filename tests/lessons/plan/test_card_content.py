"""The pull card: what stands on it, in one system and in two, and when there is none."""

import dataclasses
import re

import pytest

from recoverykit import Q, RiggingLine, display
from recoverykit.lessons.plan.card_content import (
    CHECKS,
    DANGER,
    FOLLOW,
    MARK,
    OWN_VALUES,
    SIGNALS,
    NoCardError,
    own_values,
    pull_card,
)
from recoverykit.physics.ground import RecoveryVehicle, StuckVehicle, verdict_on
from recoverykit.physics.plan import ROLLS_FREE, InputUncertainty, plan_pull
from recoverykit.physics.rigging import demo_line
from recoverykit.physics.rigging_text import read_line
from recoverykit.physics.rope import demo_rope
from recoverykit.physics.uncertainty import Uncertain
from recoverykit.units.parsing import read_quantity
from recoverykit.units.quantities import METRIC, US

TRUCK = RecoveryVehicle(Q(3100, "kg"), "gravel")
CAR = StuckVehicle(Q(1850, "kg"), "wet sand", mire="wheels")
STRONG = "rope: 500 kN, MBS, factor 4"


def between_points(*rows):
    """A whole line: these rows, and a strong point of each vehicle."""
    return read_line("\n".join(["tow eye: 200 kN, WLL", *rows, "front eye: 200 kN, WLL"])).quantity


def card(line=None, systems=(METRIC,), vehicle=TRUCK, stuck_vehicle=CAR, **more):
    line = line or demo_line()
    plan = plan_pull(vehicle, stuck_vehicle, demo_rope(), line)
    return pull_card(plan, line, demo_rope(), vehicle, stuck_vehicle, systems, **more)


def words_of(card):
    """All that stands on a card."""
    return [
        card.limit,
        card.rope,
        card.work,
        card.case,
        *CHECKS,
        *card.parts,
        card.pegs,
        *[cell for row in card.ladder.rows for cell in row],
        *[word for signal in SIGNALS for word in signal],
        *card.wheel,
        card.keep_clear,
        card.assumed,
    ]


# --- the line ---------------------------------------------------------------------------


def test_every_part_is_there_with_its_limit_and_the_lowest_is_named():
    parts = card().parts
    assert len(parts) == len(demo_line().links)
    for part, link in zip(parts, demo_line().links, strict=True):
        name, number, rest = re.fullmatch(r"(.+) ([\d.]+) kN(.*)", part).groups()
        assert name == link.name
        assert float(number) == pytest.approx(link.working_load_limit.m_as("kN"), rel=0.005)
        assert rest == (", lowest" if name == "soft shackle" else "")


def test_a_part_says_how_it_is_rigged_and_its_limit_as_rigged():
    line = between_points(
        "rope: 60 kN, WLL",
        "strap: 50 kN, WLL, factor 7, choked",
        "bridle: 160 kN, MBS, factor 4, two legs at 30°, wet",
    )
    assert card(line).parts[1:4] == (
        "rope 60 kN",
        "strap (choked) 40 kN, lowest",
        "bridle (two legs at 30°, wet) 58.9 kN",
    )


# --- the ladder -------------------------------------------------------------------------


def test_the_ladder_is_that_of_the_plan_with_blanks_for_what_is_measured():
    plan = plan_pull(TRUCK, CAR, demo_rope(), demo_line())
    rows = card().ladder.rows
    assert [row[:3] for row in rows] == [("1", "steady pull", ""), ("2", "4 km/h", "9.0 s")]
    for row, step in zip(rows, plan.steps, strict=True):
        numbers = [float(number) for number in re.findall(r"\d+\.?\d*", row[3])]
        assert numbers == pytest.approx(
            [step.peak.low.m_as("kN"), step.peak.high.m_as("kN")], 0.005
        )
        assert row[5] == verdict_on(step.chance).split()[0]
        assert (row[4], row[6]) == ("", "")


@pytest.mark.parametrize("systems", [(METRIC,), (US,)])
def test_the_watch_never_asks_for_more_speed_than_the_step(systems):
    display.use(systems[0].name)
    steps = plan_pull(TRUCK, CAR, demo_rope(), between_points(STRONG)).steps[1:]
    made = card(between_points(STRONG), systems)
    distance = read_quantity(made.pegs.removeprefix("pegs ").removesuffix(" apart"), "length")
    assert len(steps) >= 2
    for step, row in zip(steps, made.ladder.rows[1:], strict=True):
        seconds = float(row[2].removesuffix(" s"))
        exact = (distance.quantity / step.speed).m_as("s")
        assert exact - 1e-9 <= seconds < exact + 0.1


def test_that_the_line_may_part_is_on_the_card():
    plan = plan_pull(TRUCK, CAR, demo_rope(), demo_line())
    some = dataclasses.replace(plan.steps[-1], parting_chance=0.0123)
    plan = dataclasses.replace(plan, steps=(*plan.steps[:-1], some))
    rows = pull_card(plan, demo_line(), demo_rope(), TRUCK, CAR).ladder.rows
    assert "The line may part: " in rows[-1][5]
    assert not any("part" in row[5] for row in rows[:-1])


def test_the_limit_is_there_with_the_speed_at_which_it_may_be_reached():
    # The low end: the middle would be passed in half of the cases.
    assert card().limit == (
        "Limit of the line: 26.7 kN, soft shackle. The line may hit it from 5.2 km/h up."
    )
    low = plan_pull(TRUCK, CAR, demo_rope(), demo_line()).limit_speed.band.low
    said = card(systems=(METRIC, US)).limit
    for number, unit in re.findall(r"([\d.]+) (km/h|mph)", said):
        assert low.m_as(unit) - 0.1 < float(number) <= low.m_as(unit)  # never rounded up


def test_a_ladder_of_one_step_has_one_row():
    weak = between_points("rope: 7 kN, WLL, factor 5")
    grass = RecoveryVehicle(Q(3100, "kg"), "wet grass")
    one = card(weak, vehicle=grass, stuck_vehicle=StuckVehicle(Q(1000, "kg"), "gravel"))
    assert [row[1] for row in one.ladder.rows] == ["steady pull"]


def test_the_pulls_of_the_rope_are_counted_or_left_to_write():
    assert card().rope == (
        "Rope: 11 m, stretch at break 30 %. Pulls so far: ______. Rest between pulls: 10 min or "
        "more."
    )
    assert "Pulls so far: 17. Rest" in card(pulls_so_far=17).rope
    assert "Pulls so far: 0. Rest" in card(pulls_so_far=0).rope


def test_the_case_is_told_and_the_work_that_the_ladder_counts_on():
    worked = dataclasses.replace(
        CAR,
        slope=Q(3, "degree"),
        unloaded=Q(300, "kg"),
        reductions=("dig out", "lay boards"),
    )
    told = card(stuck_vehicle=worked)
    assert told.case == (
        "Worked out for: stuck vehicle 1850 kg, in wet sand, mired up to its wheels, 3° uphill; "
        "recovery vehicle 3100 kg, on gravel."
    )
    assert told.work == "First dig out, lay boards and unload 300 kg: the ladder needs it."
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
    text = "\n".join(words_of(card(systems=systems)))
    assert set(re.findall(NUMBER_WITH_UNIT, text)) == units


def test_in_both_systems_each_amount_is_said_twice():
    display.use("US")
    both = card(systems=(US, METRIC))
    assert "stuck vehicle 4,080 lb (1850 kg)" in both.case
    assert "Limit of the line: 6,000 lbf (26.7 kN)" in both.limit
    assert both.pegs == "pegs 30 ft (9.14 m) apart"
    assert both.ladder.rows[1][1] == "2 mph (3.2 km/h)"
    assert re.fullmatch(r"[\d,]+ to [\d,]+ lbf \([\d.]+ to [\d.]+ kN\)", both.ladder.rows[1][3])
    assert "36.1 ft (11 m)" in both.keep_clear
    assert re.search(r"may see [\d,]+ lbf \([\d.]+ kN\), beyond its limit", both.wheel[0])
    hill = card(systems=(US, METRIC), stuck_vehicle=dataclasses.replace(CAR, slope=Q(3, "degree")))
    assert ", 3° uphill;" in hill.case


# --- cautions ---------------------------------------------------------------------------


def test_cautions_are_there_and_no_promise():
    text = [*words_of(card()), DANGER, FOLLOW]
    assert "can kill" in DANGER
    assert "a qualified trainer" in FOLLOW
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
        "pull: dig out, unload 661 lb",
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
        drive=Uncertain(Q(0.0, ""), Q(0.2, "")),
        stiffness=Uncertain(Q(0.9, ""), Q(1.5, "")),
    )
    for said in ("speed up to 2 km/h off", "at most 20 % of the grip", "90 % to 150 % of its"):
        assert said in other


@pytest.mark.parametrize(
    ("reduced", "invented"),
    [({}, False), ({"unloaded": Q(300, "kg")}, False), ({"reductions": ["dig out"]}, True)],
)
def test_the_card_says_that_nobody_measured_what_the_work_does(reduced, invented):
    caution = card(stuck_vehicle=dataclasses.replace(CAR, **reduced)).work_caution
    assert ("is invented, not measured" in caution) == invented


@pytest.mark.parametrize(
    ("most", "words"),
    [
        (0.0, "clutch down or in neutral."),
        (0.05, "clutch down or in neutral."),
        (0.3, "idle in first, foot off."),
        (0.5, "idle in first, foot off."),
        (1.0, "add no gas."),
    ],
)
def test_the_driver_is_told_what_to_do_at_the_wheel_not_a_share_of_a_force(most, words):
    kept_up = InputUncertainty(drive=Uncertain(Q(0.0, ""), Q(most, "")))
    strong = between_points(STRONG)
    plan = plan_pull(TRUCK, CAR, demo_rope(), strong, input_uncertainty=kept_up)
    wheel = pull_card(plan, strong, demo_rope(), TRUCK, CAR).wheel
    assert f"As the rope comes tight: {words} It moves: clutch down or neutral" in wheel[1]
    assert not any("%" in words for words in wheel)


def test_the_driver_is_told_in_both_systems():
    both, metric = (card(systems=s).wheel[1] for s in ((METRIC, US), (METRIC,)))
    assert "before it has gone 1 m (3 ft)." in both
    assert "before it has gone 1 m." in metric


def test_the_driver_of_a_stuck_vehicle_that_may_roll_on_is_told():
    downhill = StuckVehicle(Q(1850, "kg"), "dry earth", mire="fenders", slope=Q(-8, "degree"))
    ground = RecoveryVehicle(Q(3100, "kg"), "dry road")
    strong = between_points("rope: 160 kN, MBS, factor 2")
    assert ROLLS_FREE in card(strong, (METRIC,), ground, downhill).wheel[2]
    assert card().wheel[2] == "Stuck driver: steer, and brake when told to."


# --- no card ----------------------------------------------------------------------------


@pytest.mark.parametrize("missing", ["tow eye", "front eye"])
def test_without_both_points_there_is_no_card(missing):
    whole = between_points("rope: 160 kN, MBS, factor 4")
    assert card(whole).mark
    with pytest.raises(NoCardError, match="The line is not complete"):
        card(RiggingLine([link for link in whole.links if link.name != missing]))


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
