"""Which packers of a fitting to change next, from all that was read and changed on record."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from math import sqrt

from installs.arithmetic.packed_members import (
    FrameReading,
    FrameSize,
    MemberName,
    PackedFixing,
    PackedMember,
    PackersChange,
    ReadingKind,
)
from installs.arithmetic.packer_words import (
    CAUTIONS,
    PACKERS_THAT_FOLLOW,
    SOURCES,
    act_in_words,
)
from installs.frame_places import PLACES, SHARES_ALONG
from installs.models import Inspection, Installation, Reading
from installs.next_act import MemberAct, NextAct
from installs.packer_stacks import MemberRecord, member_record, nearest_place
from installs.services.calculation_rules import (
    advice_rules,
    member_limit_sources,
    member_limits,
)
from installs.state import InstallationState
from jobs.frozen import extended

COVERAGE = 2
# No instrument of a fitter is finer, mm.
FINEST = 0.02
# How far a fixing moves a member that its packers did not hold before: standard deviation, mm.
# Common practice, no source.
SLACK_OF_A_FIXING = 0.5


@dataclass(frozen=True, slots=True)
class _Event:
    """What happened to a member at a time: it was read, or changed."""

    when: datetime
    readings: tuple[FrameReading, ...] = ()
    change: PackersChange | None = None


def next_act(inspection: Inspection, readings: list[Reading]) -> NextAct | None:
    """What to do at the members that an inspection read which is about to be stored, by all on
    record up to it; None where it read nothing that packers hold, or the plan has no place to
    pack."""
    places = [PLACES[one.place] for one in readings if one.place in PLACES]
    members = dict.fromkeys(member for place in places for member in place.members)
    state = InstallationState(inspection.step.installation)
    state.readings_taken.append((inspection.created_at, readings))
    kinds = tuple(dict.fromkeys(place.kind for place in places))
    acts = tuple(act for member in members if (act := _member_act(state, member, kinds)))
    if not acts:
        return None
    sources = member_limit_sources(state.rules)
    return NextAct(
        members=acts,
        sources=(*SOURCES, *(f"{kind}: {sources[kind]}" for kind in kinds)),
        cautions=(*CAUTIONS, *_following_packers(state, acts)),
    )


def _following_packers(state: InstallationState, acts: Iterable[MemberAct]) -> tuple[str, ...]:
    """Where packers are to be changed under a sill that lies on others, too."""
    layout = state.installation.plan.fixing_layout
    changed = [layout.member(act.member) for act in acts if act.act.changes]
    follow = any(member.supports_without_fixing for member in changed)
    return (PACKERS_THAT_FOLLOW,) if follow else ()


def _member_act(
    state: InstallationState, member: MemberName, kinds: tuple[ReadingKind, ...]
) -> MemberAct | None:
    """Held to what was read now: what was in order before is only kept in order."""
    # Loaded here: most processes never ask for this, and numpy is slow to load.
    from installs.arithmetic.packer_advice import advise_packers  # noqa: PLC0415

    asked = packed_member(state, member)
    if asked is None or not asked.readings:
        return None
    advice = advise_packers(replace(asked, judged=kinds), advice_rules(state.rules))
    return extended(MemberAct, advice, in_words=act_in_words(member, advice.act))


def packed_member(state: InstallationState, member: MemberName) -> PackedMember | None:
    """A member as the arithmetic takes it; None where it has fewer than two places to pack."""
    record = member_record(state, member)
    if len(record.holding_places) < 2:  # noqa: PLR2004 a line has two points
        return None
    readings, changes = _in_order(_events(state, record, member))
    filled = state.joint_is_filled
    at_first = _packed_at_first(record, member)
    return PackedMember(
        name=member,
        length=record.planned.length,
        fixings=tuple(
            PackedFixing(place, record.packers_at(place), place in at_first, not filled)
            for place in record.holding_places
        ),
        readings=readings,
        changes=changes,
        limits=member_limits(record.planned.length, state.rules),
        frame=_frame(state.installation, state),
    )


def _packed_at_first(record: MemberRecord, member: MemberName) -> list[float]:
    """A jamb stands on the packers near its ends until it is fixed; head and sill on all."""
    places = record.holding_places
    return [places[0], places[-1]] if member in ("left", "right") else places


def _in_order(
    events: Iterator[_Event],
) -> tuple[tuple[FrameReading, ...], tuple[PackersChange, ...]]:
    """Readings, each with how many changes came before it, and changes."""
    readings: list[FrameReading] = []
    changes: list[PackersChange] = []
    for event in sorted(events, key=lambda event: event.when):
        made = len(changes)
        readings += [replace(reading, changes_before=made) for reading in event.readings]
        changes += [event.change] if event.change else []
    return tuple(readings), tuple(changes)


def _events(state: InstallationState, record: MemberRecord, member: MemberName) -> Iterator[_Event]:
    slack, places = advice_rules(state.rules).slack, record.holding_places
    for fixing in record.fixings:
        if (place := nearest_place(fixing.position, places, record.within)) is not None:
            fixed = PackersChange(place, 0.0, SLACK_OF_A_FIXING, fixes=True)
            yield _Event(fixing.created_at, change=fixed)
    for change in record.changes:
        if (place := nearest_place(change.position, places, record.within)) is not None:
            made = PackersChange(place, change.change, slack, fixes=True)
            yield _Event(change.created_at, change=made)
    for when, judged in state.readings_taken:
        yield _Event(when, tuple(_readings(judged, member, record.planned.length)))


def _readings(
    judged: Iterable[Reading], member: MemberName, length: float
) -> Iterator[FrameReading]:
    for one in judged:
        place = PLACES.get(one.place)
        if place is None or member not in place.members:
            continue
        expanded = max(COVERAGE * one.standard_uncertainty, FINEST)
        if place.kind != "level":
            at = None if place.share is None else place.share * length
            yield FrameReading(place.kind, one.value, expanded, 0, at)
            continue
        # What was kept is the uncertainty of a difference of two of them.
        for name, value in one.measured.items():
            at = SHARES_ALONG[name] * length
            yield FrameReading("level", value, expanded / sqrt(2), 0, at)


def _frame(installation: Installation, state: InstallationState) -> FrameSize:
    """With the rise of the sill as it was read last, 0 before it was."""
    size, rise = installation.plan.frame, 0.0
    for _, readings in state.readings_taken:
        for reading in readings:
            if reading.place == "sill_level":
                rise = reading.measured["right_end"] - reading.measured["left_end"]
    return FrameSize(size.width, size.height, rise)
