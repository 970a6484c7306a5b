"""The calculations of an order; there is no plainer way to do the same, so only time is printed."""

from dataclasses import asdict

from benchmarks.case import Case
from jobs.arithmetic.doorset import DoorsetRequest, ProfileData, Size, work_out_doorset
from jobs.arithmetic.fold import parse_fold
from jobs.arithmetic.glazing import Cavity, Glazing, Pane
from jobs.arithmetic.thermal import glazing_u_value
from jobs.rule_texts import read_rules, shipped_rule_set_texts
from jobs.services.doorset_rules import doorset_rules

UNIT = Glazing(
    (Pane(6, "toughened"), Cavity(16, {"argon": 0.9, "air": 0.1}), Pane(4, emissivity=0.03))
)
SYSTEM = ProfileData(
    frame_face=60,
    sash_face=62,
    leaf_gap=4,
    glass_edge_cover=15,
    frame_mass_per_metre=2.4,
    sash_mass_per_metre=2.2,
    hardware_mass_per_leaf=3.0,
    largest_leaf_width=1000,
    largest_leaf_height=2500,
    largest_leaf_mass=100,
    carrier_adjustment_range=3,
    lift_per_turn=1,
    removable_track_end=400,
    head_fixing=("through_track",),
    toe_and_heel_device=True,
    frame_u=2.2,
    psi=0.08,
)


def cases() -> list[Case]:
    rules = doorset_rules(read_rules(shipped_rule_set_texts()[0]))
    order = DoorsetRequest(Size(3590, 2100), parse_fold("5-5-0"), "out", SYSTEM, UNIT)
    return [
        Case("doorset, five leaves", lambda: asdict(work_out_doorset(order, rules))),
        Case("thermal-transmittance, one unit", lambda: glazing_u_value(UNIT)),
    ]
