"""Which packers of a frame member to add or take out where, so that it comes within its limits.

The least change first: of all changes of up to three stacks that a crew can make, the one with the
fewest stacks that is nearly as likely to bring the member within all its limits as the best one.
Nothing is changed while it is likely enough within them already, or while reading again says more.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product

import numpy as np

from installs.arithmetic.beams import Array
from installs.arithmetic.frame_belief import COVERAGE, Belief, MemberModel, believe, changed
from installs.arithmetic.frame_limits import (
    Quantity,
    probability_now,
    probability_within,
    quantities_of,
)
from installs.arithmetic.packed_members import (
    FrameReading,
    PackedFixing,
    PackedMember,
    PackersChange,
    ReadingKind,
)
from installs.arithmetic.packer_answers import (
    ActKind,
    AdvisedChange,
    Deviation,
    PackerAct,
    PackerAdvice,
    PredictedReading,
)
from installs.arithmetic.packer_options import StackChange, stack_changes
from installs.arithmetic.packers import AdviceRules
from jobs.arithmetic.errors import UnusableInput
from jobs.sentences import sentence

MOST_AT_ONCE = 3
# A stack more has to raise the probability by this much: each is work, and slack of its own.
WORTH_A_STACK = 0.08
# Of all changes of as many stacks, those judged exactly: the likeliest at first sight.
JUDGED_EXACTLY = 24
PER_MM, PER_PIECE = 1e-4, 1e-5
# The corners belong to the members across as well: what moves them both ways is taken last.
PER_MM_OF_CORNERS = 0.005
EVEN_ODDS = 0.5
# After so many rounds without a change, another one with the same instrument says little.
ROUNDS_ENOUGH = 2


@dataclass(frozen=True, slots=True)
class _Choice:
    """Changes by the index of their fixing, and the probability after them."""

    probability: float
    changes: dict[int, StackChange]


def advise_packers(member: PackedMember, rules: AdviceRules) -> PackerAdvice:
    """What to do next at a member that was read at least once.

    Raises `UnusableInput` for fixings, readings and changes that cannot be of one member.
    """
    if not member.readings:
        raise UnusableInput("/readings", sentence("give at least one reading"))
    model = MemberModel(member)
    belief = believe(model)
    quantities = quantities_of(model)
    judged = tuple(one for one in quantities if _is_judged(one, model))
    now = probability_now(judged, belief)
    if now >= rules.confidence:
        act = _act("leave", model, belief, _Choice(now, {}), judged)
    else:
        chosen, best = _choose(model, belief, quantities, rules)
        act = _act(
            _kind(chosen, best, now, member),
            model,
            _made(model, belief, chosen, rules.slack),
            chosen,
            judged,
        )
    return PackerAdvice(
        member=member.name,
        within_limits=now >= rules.confidence,
        probability_within=now,
        confidence=rules.confidence,
        readings_agree=not belief.started_again,
        deviations=tuple(_deviations(judged, belief)),
        act=act,
    )


def _is_judged(quantity: Quantity, model: MemberModel) -> bool:
    asked = model.member.judged
    return quantity.kind in asked if asked else model.reads(quantity.kind)


def _kind(chosen: _Choice, best: float, now: float, member: PackedMember) -> ActKind:
    if chosen.changes:
        return "change_packers"
    if now < EVEN_ODDS and best < EVEN_ODDS:
        return "no_packer_helps"
    return "finer_instrument" if _rounds_since_change(member) > ROUNDS_ENOUGH else "read_again"


def _rounds_since_change(member: PackedMember) -> int:
    """How often the place that was read most often was read as it stands now."""
    places = [
        (one.kind, one.at) for one in member.readings if one.changes_before == len(member.changes)
    ]
    return max((places.count(place) for place in places), default=0)


def _choose(
    model: MemberModel, belief: Belief, quantities: tuple[Quantity, ...], rules: AdviceRules
) -> tuple[_Choice, float]:
    """The least change that is nearly as good as the best one, and how good that is."""
    search = _Search(model, belief, quantities, rules)
    choices = [_Choice(probability_now(quantities, belief), {})]
    choices += filter(None, map(search.best_of, range(1, MOST_AT_ONCE + 1)))
    best = max(choice.probability for choice in choices)
    chosen = next(one for one in choices if one.probability >= best - WORTH_A_STACK)
    return chosen, best


class _Search:
    """The changes of a number of stacks: those near the least squares answer of every choice of
    places, ranked at first sight, the best of them judged exactly."""

    def __init__(
        self,
        model: MemberModel,
        belief: Belief,
        quantities: tuple[Quantity, ...],
        rules: AdviceRules,
    ) -> None:
        self.belief, self.quantities, self.slack = belief, quantities, rules.slack
        self.options = {
            index: stack_changes(fixing.packers, rules.thicknesses)
            for index, fixing in enumerate(model.member.fixings)
            if fixing.reachable and belief.held[index + model.first]
        }
        self.moves = {
            index: model.moves(model.member.fixings[index].at, belief.held)
            for index in self.options
        }
        self.corners = np.array([model.at(0.0), model.at(model.member.length)])
        limits = np.array([one.limit for one in quantities])[:, None]
        self.rows = np.array([one.row for one in quantities]) / limits
        offsets = np.array([one.offset for one in quantities]) / limits[:, 0]
        self.now = self.rows @ belief.mean + offsets

    def best_of(self, count: int) -> _Choice | None:
        """The likeliest change of `count` stacks; None where so many cannot be changed."""
        ranked = sorted(self._candidates(count), key=lambda one: -one[0])
        judged = [self._judged(places, steps) for _, places, steps in ranked[:JUDGED_EXACTLY]]
        return max(judged, key=self._worth, default=None)

    def _candidates(
        self, count: int
    ) -> Iterator[tuple[float, tuple[int, ...], tuple[StackChange, ...]]]:
        for places in combinations(self.options, count):
            near = [_nearest(self.options[i], mm) for i, mm in self._least_squares(places)]
            made = list(product(*near))
            if not made:
                continue
            steps = np.array([[one.change for one in some] for some in made])
            first_sight = self._at_first_sight(places, steps)
            yield from zip(first_sight.tolist(), [places] * len(made), made, strict=True)

    def _least_squares(self, places: tuple[int, ...]) -> Iterator[tuple[int, float]]:
        """What each of these stacks would change by, were there packers of any thickness."""
        columns = self.rows @ np.array([self.moves[i] for i in places]).T
        best, *_ = np.linalg.lstsq(columns, -self.now, rcond=None)
        return zip(places, best.tolist(), strict=True)

    def _at_first_sight(self, places: tuple[int, ...], steps: Array) -> Array:
        """The product of the probabilities of all quantities, each taken by itself; logistic
        instead of normal, which ranks them alike and takes no tables."""
        moves = np.array([self.moves[i] for i in places])
        sd = np.sqrt(np.einsum("qi,ij,qj->q", self.rows, self._after(moves), self.rows)) + 1e-9
        mean = self.now + steps @ (self.rows @ moves.T).T
        within = _logistic((1 - mean) / sd) - _logistic((-1 - mean) / sd)
        return np.asarray(np.log(np.clip(within, 1e-300, None)).sum(axis=1))

    def _after(self, moves: Array) -> Array:
        return np.asarray(self.belief.covariance + self.slack**2 * moves.T @ moves)

    def _judged(self, places: tuple[int, ...], steps: tuple[StackChange, ...]) -> _Choice:
        moves = np.array([self.moves[i] for i in places])
        shift = np.array([[step.change for step in steps]]) @ moves
        probability = probability_within(
            self.quantities, self.belief.mean, self._after(moves), shift
        )
        return _Choice(float(probability[0]), dict(zip(places, steps, strict=True)))

    def _worth(self, choice: _Choice) -> float:
        thickness = sum(abs(step.change) for step in choice.changes.values())
        pieces = sum(step.pieces for step in choice.changes.values())
        moved = sum(step.change * self.moves[i] for i, step in choice.changes.items())
        return (
            choice.probability
            - PER_MM * thickness
            - PER_PIECE * pieces
            - PER_MM_OF_CORNERS * float(np.abs(self.corners @ moved).sum())
        )


def _nearest(options: Sequence[StackChange], wanted: float) -> list[StackChange]:
    """The two options on either side of what is wanted."""
    below = [option for option in options if option.change <= wanted]
    return [*below[-2:], *options[len(below) : len(below) + 2]]


def _logistic(deviate: Array) -> Array:
    return np.asarray(1 / (1 + np.exp(-np.clip(1.702 * deviate, -700, 700))))


def _act(
    kind: ActKind, model: MemberModel, after: Belief, chosen: _Choice, judged: tuple[Quantity, ...]
) -> PackerAct:
    """`after`: the belief once the chosen changes are made."""
    fixings = model.member.fixings
    return PackerAct(
        kind=kind,
        changes=tuple(_advised(fixings[i], step) for i, step in sorted(chosen.changes.items())),
        probability_within=probability_now(judged, after),
        predicted=tuple(_predicted(model, after)),
    )


def _made(model: MemberModel, belief: Belief, chosen: _Choice, slack: float) -> Belief:
    for index, step in chosen.changes.items():
        at = model.member.fixings[index].at
        belief = changed(belief, model, PackersChange(at, step.change, slack))
    return belief


def _advised(fixing: PackedFixing, step: StackChange) -> AdvisedChange:
    after = None
    if fixing.packers is not None:
        left = list(fixing.packers)
        for piece in step.taken:
            left.remove(piece)
        after = tuple(sorted((*left, *step.added), reverse=True))
    return AdvisedChange(fixing.at, step.change, step.added, step.taken, after)


def _deviations(read: tuple[Quantity, ...], belief: Belief) -> Iterator[Deviation]:
    """One of each; of the differences of levels the greatest."""
    values = {id(one): float(one.row @ belief.mean) + one.offset for one in read}
    levels = [one for one in read if one.kind == "level"]
    shown = [one for one in read if one.kind != "level"]
    if levels:
        shown.append(max(levels, key=lambda one: abs(values[id(one)])))
    for one in shown:
        level = one.kind == "level"
        value = values[id(one)]
        yield Deviation(
            kind=one.kind,
            at=None if level else one.at,
            value=abs(value) if level else value,
            standard_uncertainty=float(np.sqrt(one.row @ belief.covariance @ one.row)),
            limit=one.limit,
            probability_within=probability_now(tuple(levels) if level else (one,), belief),
        )


def _predicted(model: MemberModel, belief: Belief) -> Iterator[PredictedReading]:
    """Of every place that was read, as the instrument will read it."""
    newest: dict[tuple[ReadingKind, float | None], FrameReading] = {
        (one.kind, one.at): one for one in model.member.readings
    }
    lowest = min((at for kind, at in newest if kind == "level" and at is not None), default=0.0)
    asked = model.member.judged
    for (kind, at), reading in sorted(newest.items(), key=lambda one: (one[0][0], one[0][1] or 0)):
        if asked and kind not in asked:
            continue
        row, offset = model.row(reading)
        if kind == "level":
            row = row - model.level(lowest)
        noise = (reading.expanded_uncertainty / COVERAGE) ** 2
        variance = float(row @ belief.covariance @ row) + noise
        value = float(row @ belief.mean) + offset
        yield PredictedReading(kind, at, value, COVERAGE * float(np.sqrt(variance)))
