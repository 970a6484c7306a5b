"""The adjusted opening with the frame in it and the joint all round, as SVG.

Pure: data in, text out. Joints are millimetres in metres of wall: to scale they would be hairlines.
So the frame is drawn to scale, and what stands off its edges is drawn a stated number of times as
wide. A joint that is too narrow or too wide is marked by a sign and a word, never by colour alone.
Where no frame was decided about, the upright rectangle that is clear in the opening stands for one.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass
from math import inf
from typing import Protocol

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from jobs.code_labels import code_label
from jobs.figures import number
from jobs.svg import Canvas, drawing, element, mm, rectangle, text
from surveys.arithmetic.answers import CriticalPlace, WholeSize
from surveys.arithmetic.answers import Knot as OutlineKnot
from surveys.arithmetic.placement import Clearance, JointWidth, Placement
from surveys.critical_drawing import critical_places

# The widest joint is drawn at most this share of the frame's smaller side.
WIDEST_DRAWN = 0.14
EXAGGERATIONS = (50, 40, 30, 20, 15, 10, 5, 2, 1)
MEMBERS = ("left", "right", "head", "sill")
# How far figures of one member stand apart at least, in letters: above each other at a jamb, beside
# each other with their sign and its word at head and sill.
APART = {"left": 1.6, "right": 1.6, "head": 8.0, "sill": 8.0}
VERDICTS = {
    "fits": gettext_lazy("fits"),
    "does_not_fit": gettext_lazy("does not fit"),
    "inconclusive": gettext_lazy("inconclusive"),
}
# On which edge of the frame each knot of the outline stands: -1 left or bottom, 1 right or top,
# 0 along it.
KNOT_EDGES = {
    "bottom_left": (-1, -1),
    "sill_middle": (0, -1),
    "bottom_right": (1, -1),
    "right_middle": (1, 0),
    "top_right": (1, 1),
    "head_middle": (0, 1),
    "top_left": (-1, 1),
    "left_middle": (-1, 0),
}


# Name, x and y in mm.
Knot = tuple[str, float, float]


class DrawnInputs(Protocol):
    """What the drawing needs of the inputs of a fit decision."""

    @property
    def frame(self) -> WholeSize: ...
    @property
    def clearance(self) -> Clearance: ...
    @property
    def maximum_joint(self) -> float: ...


class DrawnAnswer(Protocol):
    """What the drawing needs of the answer."""

    @property
    def placement(self) -> Placement: ...
    @property
    def outline(self) -> tuple[OutlineKnot, ...]: ...
    @property
    def joint_profile(self) -> tuple[JointWidth, ...]: ...
    @property
    def verdict(self) -> str: ...
    @property
    def probability_fits(self) -> float: ...


@dataclass(frozen=True, slots=True)
class Joint:
    """`at` counts from the member's left or foot end; mm."""

    member: str
    at: float
    width: float


@dataclass(frozen=True, slots=True)
class FittedOpening:
    """What the drawing needs of a fit decision; mm, seen from outside, y up.

    Without a verdict it is a survey of which nothing was decided yet.
    """

    frame_width: float
    frame_height: float
    x: float
    y: float
    knots: tuple[Knot, ...]
    joints: tuple[Joint, ...]
    clearance: Mapping[str, float]
    maximum_joint: float
    verdict: str = ""
    probability_fits: float = 0.0
    critical_places: tuple[CriticalPlace, ...] = ()

    @classmethod
    def clear(cls, outline: Iterable[OutlineKnot]) -> "FittedOpening":
        """From the `outline` of a survey: the widest and highest upright rectangle in it."""
        knots = tuple((knot.name, knot.x, knot.y) for knot in outline)
        x, right = _clear_between(knots, axis=0)
        y, top = _clear_between(knots, axis=1)
        return cls(
            frame_width=right - x,
            frame_height=top - y,
            x=x,
            y=y,
            knots=knots,
            joints=tuple(_stand_offs(knots, (x, y, right, top))),
            clearance=dict.fromkeys(MEMBERS, 0.0),
            maximum_joint=inf,
        )

    @classmethod
    def read(
        cls,
        inputs: DrawnInputs,
        answer: DrawnAnswer,
        critical: tuple[CriticalPlace, ...] = (),
    ) -> "FittedOpening":
        """From the `inputs` and the `answer` of a fit decision."""
        return cls(
            frame_width=inputs.frame.width,
            frame_height=inputs.frame.height,
            x=answer.placement.x,
            y=answer.placement.y,
            knots=tuple((knot.name, knot.x, knot.y) for knot in answer.outline),
            joints=tuple(
                Joint(joint.member, joint.at, joint.width) for joint in answer.joint_profile
            ),
            clearance=asdict(inputs.clearance),
            maximum_joint=inputs.maximum_joint,
            verdict=answer.verdict,
            probability_fits=answer.probability_fits,
            critical_places=critical,
        )

    @property
    def exaggeration(self) -> int:
        """How many times as wide joints are drawn: the greatest that leaves the frame in sight."""
        widest = max(abs(joint.width) for joint in self.joints)
        room = WIDEST_DRAWN * min(self.frame_width, self.frame_height)
        return next((times for times in EXAGGERATIONS if times * widest <= room), 1)

    @property
    def description(self) -> str:
        """What somebody who cannot see the drawing should know of it."""
        joints = ", ".join(self._joint_label(member) for member in MEMBERS)
        size = _("{width} by {height} mm").format(
            width=mm(self.frame_width), height=mm(self.frame_height)
        )
        if not self.verdict:
            return _(
                "Opening seen from outside; upright and clear in it is {size}. It stands off "
                "that: {joints}. Drawn {exaggeration} times as far."
            ).format(size=size, joints=joints, exaggeration=self.exaggeration)
        return _(
            "Opening seen from outside with a frame of {size} in it: {verdict}. "
            "Joints: {joints}. Joints are drawn {exaggeration} times as wide."
        ).format(
            size=size,
            verdict=self.verdict_label,
            joints=joints,
            exaggeration=self.exaggeration,
        )

    @property
    def verdict_label(self) -> str:
        if not self.verdict:
            return _("upright and clear; no frame was decided about")
        return _("{verdict}, probability {probability}").format(
            verdict=VERDICTS[self.verdict], probability=number(self.probability_fits, ".3f")
        )

    def _joint_label(self, member: str) -> str:
        widths = [joint.width for joint in self.joints if joint.member == member]
        return _("{member} {least} to {greatest} mm").format(
            member=code_label(member),
            least=number(min(widths), ".1f"),
            greatest=number(max(widths), ".1f"),
        )

    def drawn(self, knot: Knot) -> tuple[float, float]:
        """Where a knot is drawn, y down: what it stands off the frame's edge is exaggerated."""
        name, x, y = knot
        across, up = KNOT_EDGES[name]
        times = self.exaggeration
        drawn_x = _stood_off(x - self.x, self.frame_width, across, times)
        drawn_y = _stood_off(y - self.y, self.frame_height, up, times)
        return drawn_x, self.frame_height - drawn_y

    def judge(self, joint: Joint) -> str:
        """`narrow` under the clearance wanted there, `wide` beyond the greatest joint, or neither.

        A sill is packed level, so its joint is never too wide.
        """
        if round(joint.width, 1) < self.clearance[joint.member]:
            return "narrow"
        wide = joint.member != "sill" and joint.width > self.maximum_joint
        return "wide" if wide else ""


def _clear_between(knots: tuple[Knot, ...], axis: int) -> tuple[float, float]:
    """Between the knots of two opposite sides, where every one of them is out of the way."""
    of_side = {
        edge: [(x, y)[axis] for name, x, y in knots if KNOT_EDGES[name][axis] == edge]
        for edge in (-1, 1)
    }
    return max(of_side[-1]), min(of_side[1])


def _stand_offs(
    knots: tuple[Knot, ...], clear: tuple[float, float, float, float]
) -> Iterator[Joint]:
    """How far each knot of a member stands off the rectangle, beside its place along it."""
    x, y, right, top = clear
    for name, knot_x, knot_y in knots:
        across, up = KNOT_EDGES[name]
        if across:
            off = x - knot_x if across < 0 else knot_x - right
            yield Joint("left" if across < 0 else "right", knot_y - y, off)
        if up:
            off = y - knot_y if up < 0 else knot_y - top
            yield Joint("sill" if up < 0 else "head", knot_x - x, off)


def opening_svg(opening: FittedOpening) -> str:
    """An SVG document of the opening's outline, the frame in it, and every joint in mm."""
    unit = max(opening.frame_width, 1.3 * opening.frame_height) / 44
    margin = WIDEST_DRAWN * min(opening.frame_width, opening.frame_height) + unit
    width, height = opening.frame_width + 2 * margin, opening.frame_height + 2 * margin
    strokes = (
        *_outline(opening, unit),
        rectangle(
            0,
            0,
            opening.frame_width,
            opening.frame_height,
            weight=unit / 8,
            data_part="frame",
        ),
        *_joints(opening, unit),
        *critical_places(opening.critical_places, opening.frame_width, opening.frame_height, unit),
        *_legend(opening, unit, margin),
    )
    canvas = Canvas(-margin, -margin, width, height + 4 * unit, unit)
    return drawing(canvas, opening.description, strokes, weight=unit / 12)


def _outline(opening: FittedOpening, unit: float) -> Iterator[str]:
    """The outline, and a tint over what lies between it and the frame."""
    drawn = " ".join(f"{x:.1f},{y:.1f}" for x, y in map(opening.drawn, opening.knots))
    frame = f"M0 0 H{opening.frame_width:.1f} V{opening.frame_height:.1f} H0 Z"
    yield element(
        "path",
        data_part="joint",
        d=f"M{drawn} Z {frame}",
        fill="currentColor",
        fill_opacity="0.12",
        fill_rule="evenodd",
        stroke="none",
    )
    yield element("polygon", data_part="opening", points=drawn, stroke_width=f"{unit / 6:.2f}")


def _stood_off(at: float, size: float, edge: int, times: int) -> float:
    if edge == 0:
        return at
    line = 0.0 if edge < 0 else size
    return line + times * (at - line)


def _joints(opening: FittedOpening, unit: float) -> Iterator[str]:
    """The width of each joint, written inside the frame beside its place. Of figures that would
    stand on each other one is written: a joint that is too narrow goes before one that is too wide,
    and the least before the others."""
    written: list[tuple[str, float, float]] = []
    for joint in sorted(opening.joints, key=lambda joint: _least_harmless(opening, joint)):
        x, y, anchor = _beside(joint, opening, unit)
        apart = APART[joint.member] * unit
        if any(
            member == joint.member and abs(x - other_x) + abs(y - other_y) < apart
            for member, other_x, other_y in written
        ):
            continue
        written.append((joint.member, x, y))
        verdict = opening.judge(joint)
        words = number(joint.width, ".1f") + (f" ! {code_label(verdict)}" if verdict else "")
        yield text(x, y, words, anchor=anchor, bold=bool(verdict))


def _least_harmless(opening: FittedOpening, joint: Joint) -> tuple[int, float]:
    return ("narrow", "wide", "").index(opening.judge(joint)), joint.width


def _beside(joint: Joint, opening: FittedOpening, unit: float) -> tuple[float, float, str]:
    """Where a joint's figure stands, clear of the corners; baseline and anchor."""
    width, height = opening.frame_width, opening.frame_height
    along = min(max(joint.at, 4 * unit), width - 4 * unit)
    up = height - min(max(joint.at, 3.5 * unit), height - 3.5 * unit)
    return {
        "left": (0.6 * unit, up, "start"),
        "right": (width - 0.6 * unit, up, "end"),
        "head": (along, 1.5 * unit, "middle"),
        "sill": (along, height - 0.7 * unit, "middle"),
    }[joint.member]


def _legend(opening: FittedOpening, unit: float, margin: float) -> Iterator[str]:
    x, y = opening.frame_width / 2, opening.frame_height / 2
    size = f"{mm(opening.frame_width)} x {mm(opening.frame_height)} mm"
    yield text(x, y, size, bold=True)
    yield text(x, y + 1.6 * unit, opening.verdict_label)
    joints = _("Seen from outside. Joints in mm, drawn {times} times as wide as the rest.")
    distances = _("Seen from outside. Distances in mm, drawn {times} times as wide as the rest.")
    scale = (joints if opening.verdict else distances).format(times=opening.exaggeration)
    yield text(x, opening.frame_height + margin + 2.2 * unit, scale)
