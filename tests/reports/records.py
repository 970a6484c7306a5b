"""A frozen certificate record, as `certificate_record` builds it, for tests of the paper."""

from typing import Any

from jobs.arithmetic.doorset import leaf_widths
from jobs.arithmetic.fold import parse_fold


class Profile:
    frame_face, sash_face, leaf_gap = 60, 62, 4


TAPE = {
    "name": "Tape, 8 m",
    "kind": "tape",
    "serial": "T-0815",
    "accuracy_class": "II",
    "expanded_uncertainty": None,
    "coverage_factor": None,
    "calibration_due": "2027-01-31",
}
LASER = {
    "name": "Line laser",
    "kind": "laser",
    "serial": "L-0042",
    "accuracy_class": "",
    "expanded_uncertainty": 1.0,
    "coverage_factor": 2,
    "calibration_due": "2026-12-31",
}


def certificate_facts(
    *openings: dict[str, Any], number: str = "SW-26-0007-C", **changes: Any
) -> dict[str, Any]:
    """The record of a certificate; by default of two doorsets."""
    return {
        "paper": {
            "number": number,
            "edition": 1,
            "issued_at": "2026-04-15T15:20:00+00:00",
            "verification_address": "http://127.0.0.1:8000/verify/Q2hlY2tNZU5vd1BsZWFzZQ/",
        },
        "firm": {
            "name": "Larkrise Doorsets (an invented firm)",
            "address": "Unit 4, Tannery Yard, Sampleton, ZZ1 4AB",
            "email": "office@larkrise.example.com",
            "telephone": "01632 960040",
        },
        "job": {"reference": number[:10], "title": "Two folding doorsets to the garden"},
        "customer": {"name": "Oona Quill"},
        "site": {"address": ["7 Heron Rise", "Sampleton", "ZZ2 7QQ"]},
        "rule_set": RULE_SET,
        "journal": {"entries": 118, "head": "b7" * 32, "seal_root": "c9" * 32},
        "handover": HANDOVER,
        "doorsets": list(openings)
        or [
            doorset(1, "Garden wall, kitchen", "5-5-0", 3590, 2100),
            doorset(2, "Side return, dining room", "3-2-1", 2378, 2096),
        ],
        "concessions": [CONCESSION],
        "defects": [DEFECT],
        "instruments": [TAPE, LASER],
        **changes,
    }


RULE_SET = {
    "name": "folding-2026",
    "title": "Folding sliding doorsets, tighter set",
    "issued_on": "2026-01-05",
    "sha256": "a3" * 32,
    "confidence": 0.95,
    "rules": [
        {
            "name": "frame.bow",
            "value": 1.5,
            "unit": "mm",
            "source": "",
            "standing": "common practice, no source",
        },
        {
            "name": "clearance.aluminium",
            "value": [[1500, 5.0], [3000, 5.0], [99999, 7.5]],
            "unit": "mm per side by width of the opening",
            "source": "new-home warranty technical guidance",
            "standing": "published",
        },
    ],
}

HANDOVER = {
    "made_at": "2026-04-15T14:10:00+00:00",
    "customer_name": "Oona Quill",
    "signature": [[[10, 40], [25, 8], [34, 44], [52, 20], [70, 38], [96, 30]]],
    "fitter": "Idris Vale",
    "demonstrated": True,
    "care_given": True,
    "unsigned_because": "",
    "to_come": [
        {
            "defect": "5b4f9a52-0d3e-4a77-8d3c-1a2b3c4d5e6f",
            "opening": 2,
            "what": "Mark on a handle",
            "promise": "The handle is replaced when the new one has come.",
            "until": "2026-06-30",
        }
    ],
    "keys": [{"opening": 1, "count": 3}, {"opening": 2, "count": 2}],
}

CONCESSION = {
    "opening": 2,
    "code": "bow",
    "place": "left_jamb_middle",
    "step": 7,
    "defect": None,
    "asked": "put right and record again step 7: Jambs not bowed",
    "found": "its newest record, left jamb middle 1.9 mm: fail",
    "reason": "The brickwork does not allow better and the leaves run freely.",
    "accepted_by": "Office Example",
    "accepted_at": "2026-04-15T12:00:00+00:00",
}

DEFECT = {
    "opening": 1,
    "step": None,
    "place": "sash 3",
    "severity": "minor",
    "description": "Scratch on a bead of leaf 3",
    "found_by": "Idris Vale",
    "found_at": "2026-04-14T10:00:00+00:00",
    "put_right_by": "Tove Brandt",
    "put_right_at": "2026-04-15T08:00:00+00:00",
    "put_right_how": "bead replaced",
    "reinspected_by": "Idris Vale",
    "reinspected_at": "2026-04-15T09:00:00+00:00",
    "reinspection_note": "",
    "closed_at": "2026-04-15T09:00:00+00:00",
    "conceded": False,
    "evidence": {"photo_before": None, "photo_after": "9f" * 32, "read_since": None},
    "to_come_by": None,
    "to_come_promise": "",
    "signed_for": False,
    "found_after_handover": False,
}


def doorset(number: int, name: str, fold: str, width: int, height: int) -> dict[str, Any]:
    leaves = _leaves(fold, width, height)
    left, right = (int(part) for part in fold.split("-")[1:])
    return {
        "opening": {"number": number, "name": name},
        "order": ORDER | {"fold": fold, "frame": {"width": width, "height": height}},
        "elevation": {
            "frame_width": width,
            "frame_height": height,
            "frame_face": Profile.frame_face,
            "sash_face": Profile.sash_face,
            "leaf_gap": Profile.leaf_gap,
            "left_leaves": left,
            "right_leaves": right,
            "opens": "out",
            "leaves": leaves,
        },
        "glazing": GLAZING,
        "thermal": {
            "u_value": 1.3712,
            "u_value_reported": 1.4,
            "u_glass": 1.12,
            "u_glass_reported": 1.1,
            "glazed_share": 0.71,
            "limit": 1.4,
            "within": True,
            "source": "Approved Document L",
        },
        "upstand": {"value": 12, "limit": 15, "unit": "mm", "within": True, "source": ""},
        "requirements": [
            {
                "code": code,
                "standing": "kept",
                "value": value,
                "limit": limit,
                "unit": unit,
                "why": "Within the limit, whatever the case.",
                "asks": [],
                "source": "Approved Document",
            }
            for code, value, limit, unit in (
                ("threshold", 12, 15, "mm"),
                ("u_value", 1.4, 1.4, "W/(m2 K)"),
            )
        ],
        "mass": 286.4,
        "frame_mass": 27.3,
        "safety_glazing": [
            {
                "leaf": leaf["number"],
                "required_class": "BS EN 12600 class 3",
                "unsafe": False,
                "unsafe_panes": [],
                "source": "Approved Document K",
            }
            for leaf in leaves
        ],
        "leaves": leaves,
        "delivery": {
            "delivered_on": "2026-04-08",
            "frame": {"width": width, "height": height},
            "leaves_counted": len(leaves),
        },
        "surveys": [survey("first"), survey("before_removal")],
        "inspections": INSPECTIONS,
        "fixings": [_fixings(member) for member in ("left", "right", "head", "sill")],
        "gaps": [_gap(junction) for junction in range(len(leaves) + 1)],
        "packer_changes": [],
        "lifts": [{"junction": 2, "chain": "left", "turns": 1.5, "lift": 1.5}],
        "sashes": [_sash(leaf["number"]) for leaf in leaves],
    }


def _leaves(fold: str, width: int, height: int) -> list[dict[str, Any]]:
    parsed = parse_fold(fold)
    widths = leaf_widths(width, parsed.leaves, Profile)
    return [
        {
            "number": leaf.number,
            "width": leaf_width,
            "height": height - 128,
            "glass_width": leaf_width - 90,
            "glass_height": height - 218,
            "glass_mass": 38.1,
            "mass": 52.3,
            "lifted_mass": 14.2,
            "carrier": leaf.brings_carrier,
            "hinge_side": leaf.carried_on,
            "access_leaf": leaf.access_leaf,
        }
        for leaf, leaf_width in zip(parsed.folded_leaves(), widths, strict=True)
    ]


ORDER = {
    "revision": 1,
    "opens": "out",
    "head_fixing": "in_channel",
    "colour_inside": "chalk white",
    "colour_outside": "slate grey",
    "handle": "lever",
    "threshold": "low",
    "ventilator": "",
    "keyed_alike": True,
    "profile_system": "Larkrise 70",
    "ordered_at": "2026-03-06T10:00:00+00:00",
}

GLAZING = {
    "layers": [
        {"glass": 6, "safety": "toughened", "emissivity": 0.03},
        {"cavity": 16, "gas": {"argon": 0.9, "air": 0.1}},
        {"glass": 4, "safety": "toughened"},
    ],
    "u_glass": None,
}

KNOTS = {
    "bottom_left": (0, 0),
    "sill_middle": (1806, 0),
    "bottom_right": (3611, -3),
    "right_middle": (3612, 1056),
    "top_right": (3613, 2116),
    "head_middle": (1808, 2117),
    "top_left": (4, 2118),
    "left_middle": (2, 1059),
}

STANDING = {
    "inputs": {
        "frame": {"width": 3590, "height": 2100},
        "clearance": {"left": 5, "right": 5, "head": 5, "sill": 0},
        "maximum_joint": 15,
    },
    "answer": {
        "placement": {"x": 10.0, "y": 0.0},
        "outline": [{"name": name, "x": x, "y": y} for name, (x, y) in KNOTS.items()],
        "joint_profile": [
            {"member": member, "at": at, "width": width}
            for member, at, width in (
                ("left", 0, 10.0),
                ("left", 2100, 6.0),
                ("right", 0, 11.0),
                ("right", 2100, 13.0),
                ("head", 0, 18.0),
                ("head", 3590, 16.0),
                ("sill", 0, 0.0),
                ("sill", 3590, 3.0),
            )
        ],
        "verdict": "fits",
        "probability_fits": 0.9986,
    },
}

FINDING = {
    "what": "The ground outside lies 750 mm below.",
    "caution": "Somebody could fall: keep the guarding in place.",
    "source": "Approved Document K",
}

PLACED = {
    "widths": ((100, 3612), (1050, 3609), (2000, 3611)),
    "heights": ((100, 2118), (1800, 2116), (3500, 2119)),
    "sill_levels": ((0, 0), (3600, -3)),
    "plumb.left": ((0, 0), (2100, 4)),
}


def survey(stage: str) -> dict[str, Any]:
    readings = [
        _survey_reading(f"{name}.{index}", at, value)
        for name, placed in PLACED.items()
        for index, (at, value) in enumerate(placed)
    ]
    readings += [
        _survey_reading(f"diagonals.{name}", None, value)
        for name, value in (("rising", 4189), ("falling", 4186))
    ]
    return {
        "stage": stage,
        "taken_at": "2026-03-04T09:30:00+00:00",
        "surveyor": "Maren Holt",
        "instruments": [TAPE, LASER],
        "consistent": True,
        "adjustment": {"chi_square": 3.1, "degrees_of_freedom": 4, "p_value": 0.54},
        "readings": readings,
        "shortfalls": [],
        "lifted_with": "",
        "findings": [FINDING],
        "standing": STANDING,
        "fit": {
            "verdict": "fits",
            "frame": {"width": 3590, "height": 2100},
            "probability_fits": 0.9986,
            "confidence": 0.95,
            "clear_width": {"value": 3604.8, "standard_uncertainty": 0.9},
            "clear_height": {"value": 2114.2, "standard_uncertainty": 0.7},
            "joints": {
                "left": {"min": 5.1, "max": 9.0},
                "right": {"min": 5.4, "max": 9.3},
                "head": {"min": 8.8, "max": 12.0},
                "sill": {"min": 0.0, "max": 3.0},
            },
        },
    }


def _survey_reading(name: str, at: float | None, value: float) -> dict[str, Any]:
    return {
        "reading": name,
        "at": at,
        "value": value,
        "serial": TAPE["serial"],
        "standard_uncertainty": 0.64,
        "residual": -0.37,
        "normalised_residual": -0.81,
        "limit": 3.29,
        "verdict": "pass",
    }


def _inspection(
    number: int,
    title: str,
    *readings: tuple[str, float, float | None, float],
    measured: list[dict[str, Any]] | None = None,
    **more: Any,
) -> dict[str, Any]:
    return {
        "number": number,
        "code": title.lower().replace(" ", "_"),
        "title": title,
        "inspector": "Idris Vale",
        "made_at": "2026-04-14T10:05:00+00:00",
        "instrument": LASER if readings else None,
        "outcome": "pass",
        "counts": True,
        "acknowledged": not readings,
        "count": None,
        "checks": [],
        "sealant_class": None,
        "return_on": None,
        "note": "",
        "readings": [
            {
                "place": place,
                "value": value,
                "measured": measured or [{"place": place, "value": value}],
                "unit": "mm",
                "lower": lower,
                "upper": upper,
                "standard_uncertainty": 0.58,
                "probability_conforms": 0.9993,
                "decision": "pass",
            }
            for place, value, lower, upper in readings
        ],
        **more,
    }


DIAGONALS = [{"place": "rising", "value": 4187.1}, {"place": "falling", "value": 4186}]

INSPECTIONS = [
    _inspection(1, "Room protected, hidden services located"),
    _inspection(3, "Sill level", ("fall", 0.4, -3, 3), note="slate packers at 600 mm"),
    _inspection(5, "Plumb of the jambs", ("left_in_plane", 1.2, -3, 3), ("right", -0.8, -3, 3)),
    _inspection(6, "Diagonals", ("diagonal_difference", 1.1, None, 2), measured=DIAGONALS),
    _inspection(7, "Jambs not bowed", ("left_middle", 0.7, None, 1.5), ("right_middle", 0.2, 0, 1)),
    _inspection(9, "Clear height along the frame", ("height_range", 0.9, None, 1.5)),
    _inspection(18, "Magnets set", count=2),
]


def _fixings(member: str) -> dict[str, Any]:
    positions = (150, 750, 1350, 1950)
    return {
        "member": member,
        "planned": list(positions),
        "fixed": [{"position": p, "kind": "frame_screw", "packers": [5, 3]} for p in positions],
    }


def _gap(junction: int) -> dict[str, Any]:
    return {
        "junction": junction,
        "counts": True,
        "head_gap": 4.4,
        "sill_gap": 4.9,
        "standard_uncertainty": 0.21,
        "limit": 1.0,
        "probability_conforms": 0.991,
        "decision": "pass",
        "instrument": LASER,
        "leaf_gap": 4.5,
        "together_limit": 2.0,
    }


def _sash(leaf: int) -> dict[str, Any]:
    return {
        "leaf": leaf,
        "beads_back": 4,
        "blocks_set": True,
        "brace_set": True,
        "glass_marking": f"EN 12150-1 toughened, pane {leaf}",
    }
