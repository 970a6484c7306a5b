"""What is known of a member of a frame after all that was read of it and all that was changed.

A linear Gaussian belief: the state is how far the member stands into the opening at each of its
fixings, mm, and with it the errors that all readings of one instrument share. Readings are linear
in it (`beams.beam_weights`), and a changed packer moves it by its thickness with some slack. Each
reading sharpens it by the usual least squares (Kalman, 1960).
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from math import hypot, sqrt

import numpy as np

from installs.arithmetic.beams import Array, beam_weights
from installs.arithmetic.packed_members import (
    FrameReading,
    PackedMember,
    PackersChange,
    ReadingKind,
    check_member,
)

# How members stand before anything is read: standard deviations, mm, wide enough for any that a
# crew leaves standing. Common practice, no source.
ANYWHERE, LEAN, BOW, PLACE = 100.0, 6.0, 3.0, 1.0
# What the corners of a frame and the level of its sill leave unsaid of a diagonal, mm. Likewise.
CORNERS = 0.5
# How much of the variance of a reading is one error of its instrument, which reading again does not
# take away. A calibration does not say; half is between none and all.
SHARED = 0.5
COVERAGE = 2.0
# One round in a thousand strays so far by chance (standard normal deviate).
STRAY = 3.0902


@dataclass(frozen=True, slots=True)
class Belief:
    """Mean and covariance of the state; `held` says which nodes hold the member by now.
    `started_again`: the newest readings do not follow from those before them and the changes on
    record, so they alone count."""

    mean: Array
    covariance: Array
    held: tuple[bool, ...]
    started_again: bool = False


class MemberModel:
    """What moves what at one member: `nodes` are its fixings and, of a head, its ends too, which
    the jambs hold. The state holds a number for each node, then the shared errors."""

    def __init__(self, member: PackedMember) -> None:
        check_member(member)
        self.member = member
        at = [fixing.at for fixing in member.fixings]
        self.first = 1 if member.name == "head" else 0
        self.nodes = [0.0, *at, member.length] if self.first else at
        self.instruments = sorted({_instrument(reading) for reading in member.readings})
        self.size = len(self.nodes) + len(self.instruments)

    def prior(self) -> Belief:
        """Before anything was read: a line anywhere, leaning, bowed, each packer by its own."""
        share = np.asarray(self.nodes) / self.member.length
        covariance = np.zeros((self.size, self.size))
        shapes = ((ANYWHERE, np.ones_like(share)), (LEAN, share), (BOW, np.sin(np.pi * share)))
        count = len(self.nodes)
        covariance[:count, :count] = PLACE**2 * np.eye(count) + sum(
            deviation**2 * np.outer(shape, shape) for deviation, shape in shapes
        )
        for index, (_kind, expanded) in enumerate(self.instruments, start=count):
            covariance[index, index] = SHARED * (expanded / COVERAGE) ** 2
        ends = (True,) * self.first
        held = (*ends, *(fixing.packed for fixing in self.member.fixings), *ends)
        return Belief(np.zeros(self.size), covariance, held)

    def at(self, place: float) -> Array:
        """How far the member stands into the opening at a place."""
        row = np.zeros(self.size)
        row[: len(self.nodes)] = beam_weights(self.nodes, [place])[0]
        return row

    def plumb(self) -> Array:
        return np.asarray(self.at(self.member.length) - self.at(0.0))

    def bow(self, place: float) -> Array:
        share = place / self.member.length
        chord = (1 - share) * self.at(0.0) + share * self.at(self.member.length)
        return np.asarray(self.at(place) - chord)

    def level(self, place: float) -> Array:
        """Height: into the opening is up at the sill, and down at the head."""
        return self.at(place) if self.member.name == "sill" else -self.at(place)

    def diagonal(self) -> tuple[Array, float]:
        """Both jambs of a frame lean as one, since its head is as long as its sill: the rising
        diagonal grows by width / diagonal of the lean and the falling one shrinks by as much,
        likewise by height / diagonal of the sill's rise."""
        frame = self.member.frame
        assert frame is not None  # noqa: S101 `check_member` asked for it
        across = hypot(frame.width, frame.height)
        way = 1.0 if self.member.name == "left" else -1.0
        offset = 2 * frame.height / across * frame.sill_rise
        return np.asarray(2 * frame.width / across * way * self.plumb()), offset

    def reads(self, kind: ReadingKind) -> bool:
        """Whether anything of that kind was read."""
        return any(reading.kind == kind for reading in self.member.readings)

    def row(self, reading: FrameReading) -> tuple[Array, float]:
        """What a reading is of the state, and its offset; a height is above that of a datum."""
        if reading.kind == "diagonal":
            return self.diagonal()
        if reading.kind == "plumb":
            return self.plumb(), 0.0
        place = reading.at or 0.0
        return (self.bow(place) if reading.kind == "bow" else self.level(place)), 0.0

    def moves(self, at: float, held: Sequence[bool]) -> Array:
        """How the state moves where packers of 1 mm are added at a fixing: not at all where
        nothing holds the member there yet."""
        index = self.nodes.index(at)
        holding = [node for node, holds in enumerate(held) if holds]
        move = np.zeros(self.size)
        if index in holding:
            supports = [self.nodes[node] for node in holding]
            weights = beam_weights(supports, self.nodes)
            move[: len(self.nodes)] = weights[:, holding.index(index)]
        return move


def believe(model: MemberModel) -> Belief:
    """The belief after all readings and changes of the member, in their order."""
    belief = model.prior()
    rounds = {number: list(one) for number, one in _rounds(model.member.readings)}
    for number in range(len(model.member.changes) + 1):
        if number in rounds:
            belief = _read(belief, model, rounds[number])
        if number < len(model.member.changes):
            belief = changed(belief, model, model.member.changes[number])
    return belief


def changed(belief: Belief, model: MemberModel, change: PackersChange) -> Belief:
    """After packers were changed: as far as they are thick, less some slack of their own."""
    index = model.nodes.index(change.at)
    held = tuple(
        holds or (change.fixes and node == index) for node, holds in enumerate(belief.held)
    )
    move = model.moves(change.at, held)
    return replace(
        belief,
        mean=belief.mean + change.change * move,
        covariance=belief.covariance + change.slack**2 * np.outer(move, move),
        held=held,
    )


def _rounds(readings: Sequence[FrameReading]) -> Iterator[tuple[int, Iterator[FrameReading]]]:
    ordered = sorted(readings, key=lambda reading: reading.changes_before)
    return groupby(ordered, key=lambda reading: reading.changes_before)


def _read(belief: Belief, model: MemberModel, readings: list[FrameReading]) -> Belief:
    """Readings that stray too far from what was believed leave only themselves to go by."""
    rows, residual, noise = _observed(model, readings)
    spread = rows @ belief.covariance @ rows.T + noise
    astray = residual - rows @ belief.mean
    if float(astray @ np.linalg.solve(spread, astray)) > _farthest(len(readings)):
        anew = replace(model.prior(), held=belief.held, started_again=True)
        return _sharpened(anew, rows, residual, noise)
    return _sharpened(belief, rows, residual, noise)


def _sharpened(belief: Belief, rows: Array, value: Array, noise: Array) -> Belief:
    spread = rows @ belief.covariance @ rows.T + noise
    gain = np.linalg.solve(spread, rows @ belief.covariance).T
    keep = np.eye(len(belief.mean)) - gain @ rows
    # The form that stays symmetric and positive whatever is rounded (Joseph).
    covariance = keep @ belief.covariance @ keep.T + gain @ noise @ gain.T
    return replace(
        belief, mean=belief.mean + gain @ (value - rows @ belief.mean), covariance=covariance
    )


def _observed(model: MemberModel, readings: list[FrameReading]) -> tuple[Array, Array, Array]:
    """Rows, values less their offsets, and covariance of a round of readings. Levels are read
    above a datum that may lie anywhere; a place that is read again begins with another one."""
    count = len(model.nodes)
    rows, values = [], []
    datum = [_times_read_before(index, readings) for index in range(len(readings))]
    same = np.array([[one is not None and one == other for other in datum] for one in datum])
    noise = ANYWHERE**2 * same.astype(float)
    for index, reading in enumerate(readings):
        row, offset = model.row(reading)
        row = row.copy()
        row[count + model.instruments.index(_instrument(reading))] = 1.0
        rows.append(row)
        values.append(reading.value - offset)
        own = (1 - SHARED) * (reading.expanded_uncertainty / COVERAGE) ** 2
        noise[index, index] += own + (CORNERS**2 if reading.kind == "diagonal" else 0.0)
    return np.array(rows), np.array(values), noise


def _times_read_before(index: int, readings: list[FrameReading]) -> int | None:
    """Of a level in its round; None for what has no datum."""
    reading = readings[index]
    if reading.kind != "level":
        return None
    return sum(one.kind == "level" and one.at == reading.at for one in readings[:index])


def _instrument(reading: FrameReading) -> tuple[ReadingKind, float]:
    """Readings of one kind with one uncertainty are taken to be one instrument's."""
    return reading.kind, reading.expanded_uncertainty


def _farthest(count: int) -> float:
    """The value that chi-squared passes once in a thousand times (Wilson and Hilferty, 1931)."""
    part = 2 / (9 * count)
    return float(count * (1 - part + STRAY * sqrt(part)) ** 3)
