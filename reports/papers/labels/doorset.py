"""Labels of the record of a doorset: what a paper says besides the bare figures."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import gettext_noop, ngettext
from msgspec import UNSET

from jobs.arithmetic.doorset import Thermal
from jobs.arithmetic.requirements import WITHIN, Requirement
from jobs.code_labels import code_label
from jobs.figures import day, figure
from jobs.translation import translated
from reports.papers.draft import labelled
from reports.papers.frozen.defects import ConcessionFacts
from reports.papers.frozen.doorset import FittedDoorset, GlazingLayer, OrderFacts
from reports.papers.frozen.fitting import (
    CheckFacts,
    FixingFacts,
    InspectionFacts,
    InspectionReading,
    LiftFacts,
    MemberFixings,
    SashFacts,
    SealedAt,
)
from reports.papers.frozen.papers import PlannedInstallation
from surveys.arithmetic.answers import WholeSize

Pairs = list[tuple[str, str]]
OrderedDoorset = FittedDoorset | PlannedInstallation


def order_rows(doorset: OrderedDoorset) -> Pairs:
    """What was ordered and what came, as names and values."""
    order, delivery = doorset.order, doorset.delivery
    ordered = _("{day}, revision {revision}")
    rows = [
        (_("Fold"), _fold(order)),
        (_("System"), order.profile_system),
        (_("Colours"), _colours(order)),
        (_("Handle"), _handle(order)),
        (_("Threshold"), _threshold(doorset)),
        (_("Ventilator"), order.ventilator),
        (_("Head fixing"), _head_fixing(order)),
        (
            _("Ordered"),
            ordered.format(day=day(order.ordered_at), revision=order.revision),
        ),
    ]
    if delivery:
        delivered = _("{day}, measured {size}")
        size = size_label(delivery.frame)
        rows.append((_("Delivered"), delivered.format(day=day(delivery.delivered_on), size=size)))
        if delivery.declaration:
            rows.append((_("Declaration of performance"), delivery.declaration))
    return [(name, value) for name, value in rows if value]


HEAD_FIXINGS = {
    "through_track": gettext_noop("countersunk through the track"),
    "in_channel": gettext_noop("in the channel behind the removable track"),
}


def _fold(order: OrderFacts) -> str:
    if order.opens == "out":
        return _("{fold}, opening outwards").format(fold=order.fold)
    return _("{fold}, opening inwards").format(fold=order.fold)


def _colours(order: OrderFacts) -> str:
    return _("{inside} inside, {outside} outside").format(
        inside=order.colour_inside, outside=order.colour_outside
    )


def _handle(order: OrderFacts) -> str:
    if order.keyed_alike:
        return _("{handle}, keyed alike").format(handle=order.handle)
    return str(order.handle)


EXCEPTIONS = {
    ("u_value", "broken"): gettext_noop("U over its limit"),
    ("threshold", "broken"): gettext_noop("upstand over its limit"),
    ("u_value", "question"): gettext_noop("not said which limit its U has"),
    ("threshold", "question"): gettext_noop("not said which limit its upstand has"),
    ("security", "question"): gettext_noop("no evidence of its security"),
}


def _head_fixing(order: OrderFacts) -> str:
    return translated(HEAD_FIXINGS.get(order.head_fixing, ""))


def _threshold(doorset: OrderedDoorset) -> str:
    threshold, upstand = code_label(doorset.order.threshold), doorset.upstand
    if not upstand:
        return threshold
    label = _("{threshold}, upstand {upstand} mm")
    if not upstand.within:
        label = _("{threshold}, upstand {upstand} mm; an accessible one has {limit} mm at most")
    return label.format(
        threshold=threshold, upstand=figure(upstand.value), limit=figure(upstand.limit)
    )


def size_label(size: WholeSize) -> str:
    return f"{figure(size.width)} \N{MULTIPLICATION SIGN} {figure(size.height)} mm"


def glass_rows(doorset: FittedDoorset) -> Pairs:
    """Glass, transmittance and mass as names and values."""
    return [
        (_("Glass"), " / ".join(_layer(layer) for layer in doorset.glazing.layers)),
        (_("U glass"), _u_glass(doorset)),
        (_("U doorset"), _u_doorset(doorset.thermal)),
        *_cases(doorset.requirements),
        (
            _("Mass"),
            _("{mass} kg, of which frame {frame} kg").format(
                mass=figure(doorset.mass), frame=figure(doorset.frame_mass)
            ),
        ),
    ]


def _cases(requirements: Iterable[Requirement]) -> Pairs:
    """Which case of the regulations it is, for each that is not kept whatever the case."""
    names = {
        "threshold": _("Rule for the threshold"),
        "u_value": _("Rule for the U"),
        "security": _("Security"),
    }
    return [
        (names[requirement.code], translated(requirement.why))
        for requirement in requirements
        if requirement.why not in ("", WITHIN)
    ]


def _u_glass(doorset: FittedDoorset) -> str:
    u_glass = figure(doorset.thermal.u_glass_reported)
    if doorset.glazing.u_glass:
        return _("{u} W/(m²K), declared").format(u=u_glass)
    return f"{u_glass} W/(m²K), EN 673"


def _u_doorset(thermal: Thermal) -> str:
    label = _("{u} W/(m²K), EN ISO 10077-1")
    if thermal.limit:
        label = _("{u} W/(m²K), EN ISO 10077-1; limit {limit}")
    return label.format(u=figure(thermal.u_value_reported), limit=figure(thermal.limit))


def _layer(layer: GlazingLayer) -> str:
    if layer.glass is not UNSET:
        return _pane(layer)
    shares = sorted((layer.gas or {}).items(), key=lambda gas: -gas[1])
    gas = [f"{code_label(name)} {100 * share:.0f} %" for name, share in shares]
    return f"{figure(layer.cavity)} mm {' + '.join(gas) or code_label('air')}"


def _pane(layer: GlazingLayer) -> str:
    """`4 mm toughened, coated`."""
    kind = layer.safety or "none"
    words = [figure(layer.glass), "mm"] + ([] if kind == "none" else [code_label(kind)])
    pane = " ".join(words)
    return _("{pane}, coated").format(pane=pane) if layer.emissivity is not UNSET else pane


def summary(doorset: FittedDoorset, concessions: Iterable[ConcessionFacts]) -> dict[str, Any]:
    """One line about a doorset: how many readings and fixings, and their outcome."""
    surveyed = sum(len(survey.readings) for survey in doorset.surveys)
    inspected = sum(len(inspection.readings) for inspection in doorset.inspections)
    number = doorset.opening.number
    conceded = sum(concession.opening == number for concession in concessions)
    return {
        "readings": surveyed + inspected + 2 * len(doorset.gaps),
        "fixings": sum(len(member.fixed) for member in doorset.fixings),
        "outcome": _outcome(doorset, conceded),
    }


def _outcome(doorset: FittedDoorset, conceded: int) -> str:
    """Within all limits, or what is not: what the office conceded, and what no gate decides."""
    beyond = []
    if conceded:
        label = ngettext("{count} conceded", "{count} conceded", conceded)
        beyond.append(label.format(count=conceded))
    beyond += [
        _(EXCEPTIONS[requirement.code, requirement.standing])
        for requirement in doorset.requirements
        if requirement.standing != "kept"
    ]
    if not beyond:
        return _("✓ within all limits")
    return _("✓ but {exceptions}").format(exceptions=", ".join(beyond))


def fixing_labels(member: MemberFixings) -> dict[str, Any]:
    """`150 (5 + 3) · 750 (8)`: position in mm and the packers beside it."""
    return {
        "member": member.member,
        "positions": " · ".join(_fixing(fixing) for fixing in member.fixed),
        "planned": len(member.planned),
        "fixed": len(member.fixed),
    }


def _fixing(fixing: FixingFacts) -> str:
    packers = " + ".join(figure(packer) for packer in fixing.packers) or _("no packer")
    kind = "" if fixing.kind == "frame_screw" else f" {code_label(fixing.kind)}"
    return f"{figure(fixing.position)}{kind} ({packers})"


def lifts_text(lifts: Iterable[LiftFacts]) -> str:
    """`junction 2 up 1.5 mm (1.5 turns), ...` in the order in which it was done."""
    return ", ".join(_lift(lift) for lift in lifts)


def _lift(lift: LiftFacts) -> str:
    label = _("junction {junction} down {amount} mm ({turns} turns)")
    if lift.lift > 0:
        label = _("junction {junction} up {amount} mm ({turns} turns)")
    return label.format(
        junction=lift.junction,
        amount=figure(abs(lift.lift)),
        turns=figure(abs(lift.turns)),
    )


def leaf_labels(doorset: FittedDoorset) -> list[dict[str, Any]]:
    """Each leaf as ordered with what was done to its sash."""
    sashes = {sash.leaf: sash for sash in doorset.sashes}
    classes = {leaf.leaf: leaf.required_class for leaf in doorset.safety_glazing}
    return [
        labelled(leaf, _glass_labels(sashes.get(leaf.number), classes.get(leaf.number, "")))
        for leaf in doorset.leaves
    ]


def _glass_labels(sash: SashFacts | None, required_class: str) -> dict[str, str]:
    return {
        "glass_marking": sash.glass_marking if sash else "",
        "required_class": required_class,
        "glazed": _sash(sash),
    }


def _sash(sash: SashFacts | None) -> str:
    if sash is None:
        return _("not recorded")
    missing = []
    if not sash.blocks_set:
        missing.append(_("✗ blocks not set"))
    if not sash.brace_set:
        missing.append(_("✗ brace not set"))
    beads = sash.beads_back
    done = ngettext(
        "✓ all done, {count} bead back where it came from",
        "✓ all done, {count} beads back where they came from",
        beads,
    )
    return ", ".join(missing) or done.format(count=beads)


def inspection_remarks(inspection: InspectionFacts) -> str:
    """What was recorded besides readings."""
    remarks = [
        _("confirmed") if inspection.acknowledged else "",
        _counted(inspection.count),
        _checked(inspection.checks),
        _sealant(inspection.sealant_class),
        *(_sealed(inspection.sealed) if inspection.sealed else ()),
        *map(translated, inspection.shortfalls),
        _lifted_with(inspection.lifted_with),
        _tape(inspection.return_on),
        inspection.note,
        "" if inspection.counts else _("inspected again later"),
    ]
    return "; ".join(remark for remark in remarks if remark)


def _counted(count: int | None) -> str:
    return "" if count is None else _("{count} counted").format(count=count)


def _checked(checks: Sequence[CheckFacts]) -> str:
    failed = [translated(check.check) for check in checks if not check.in_order]
    if failed:
        return _("not in order: {checks}").format(checks=", ".join(failed))
    return _("{count} checked").format(count=len(checks)) if checks else ""


def _sealant(sealant_class: float | None) -> str:
    if not sealant_class:
        return ""
    return _("sealant of class {sealant_class}").format(sealant_class=figure(sealant_class))


def _sealed(sealed: SealedAt) -> Iterator[str]:
    """How warm the faces of the joint were, against the dew point; and how old the sealant."""
    if sealed.surface is not None and sealed.dew_point is not None:
        yield _("faces at {surface} C, dew point {dew_point} C").format(
            surface=figure(sealed.surface), dew_point=figure(sealed.dew_point)
        )
    elif sealed.surface is not None:
        yield _("faces at {surface} C").format(surface=figure(sealed.surface))
    if sealed.use_by:
        yield _("sealant to be used by {day}").format(day=day(sealed.use_by))


def _lifted_with(helpers: str) -> str:
    return _("lifted with {helpers}").format(helpers=helpers) if helpers else ""


def _tape(return_on: str | None) -> str:
    if not return_on:
        return ""
    return _("protective tape stays inside until {day}").format(day=day(return_on))


def reading_sources(reading: InspectionReading) -> dict[str, str]:
    """What a difference or a spread was calculated from: `rising 4189, falling 4186`."""
    of = [f"{code_label(part.place)} {figure(part.value)}" for part in reading.measured]
    return {"sources": ", ".join(of) if len(of) > 1 else ""}
