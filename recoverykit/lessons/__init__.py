"""Panels: one module each, sliders wired to a picture and a sentence."""

from recoverykit.course.learner import ask_name
from recoverykit.course.units_switch import units_switch
from recoverykit.lessons.bank import ask, ask_survey, guess
from recoverykit.lessons.energy.panel import EnergyPanel
from recoverykit.lessons.measured_pulls.extrapolation_panel import ExtrapolationPanel
from recoverykit.lessons.measured_pulls.own_log import OwnLog
from recoverykit.lessons.measured_pulls.pulls_panel import MeasuredPullsPanel
from recoverykit.lessons.measured_pulls.record import RecordSaver
from recoverykit.lessons.measured_pulls.sampling_panel import MeterPanel
from recoverykit.lessons.peak_force.panel import PeakForcePanel
from recoverykit.lessons.plan.card_view import make_card
from recoverykit.lessons.plan.own_line import ask_line
from recoverykit.lessons.plan.panel import PlanPanel
from recoverykit.lessons.recoil.panel import LettingGoPanel
from recoverykit.lessons.resistance.panel import HoldingPanel
from recoverykit.lessons.rope_spring.panel import StretchPanel
from recoverykit.lessons.stamps.panel import StampsPanel
from recoverykit.lessons.start_here.panel import TimedDistancePanel
from recoverykit.lessons.two_vehicles.speed_panel import MoreSpeedPanel
from recoverykit.lessons.two_vehicles.time_panel import PullInTimePanel
from recoverykit.lessons.weakest_link.panel import WeakestLinkPanel

__all__ = [
    "EnergyPanel",
    "ExtrapolationPanel",
    "HoldingPanel",
    "LettingGoPanel",
    "MeasuredPullsPanel",
    "MeterPanel",
    "MoreSpeedPanel",
    "OwnLog",
    "PeakForcePanel",
    "PlanPanel",
    "PullInTimePanel",
    "RecordSaver",
    "StampsPanel",
    "StretchPanel",
    "TimedDistancePanel",
    "WeakestLinkPanel",
    "ask",
    "ask_line",
    "ask_name",
    "ask_survey",
    "guess",
    "make_card",
    "units_switch",
]
