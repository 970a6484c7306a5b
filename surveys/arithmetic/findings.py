"""What a survey's conditions call for besides a size: findings, each with its caution.

Lengths in mm. A finding never decides anything structural or legal: it names who does.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from jobs.sentences import StoredSentence, sentence
from surveys.arithmetic.way_in import Plate, WayIn, WayRules, pass_way

PRACTICE = sentence("common practice, no source")
WAY_IN = StoredSentence("The frame does not pass the way in: {obstacle}.")
GUARDED_DROP = StoredSentence(
    "The ground outside lies {drop:g} mm lower; guarding is wanted beyond {limit:g} mm; some is "
    "there."
)
UNGUARDED_DROP = StoredSentence(
    "The ground outside lies {drop:g} mm lower; guarding is wanted beyond {limit:g} mm; none is "
    "recorded."
)
AS_MUCH_AIR = StoredSentence(
    "The new doorset has ventilators no smaller, that can be closed by hand or close themselves; "
    "where their size is not known, {room:g} mm\N{SUPERSCRIPT TWO} of equivalent area in a "
    "habitable room or kitchen and {bathroom:g} mm\N{SUPERSCRIPT TWO} in a bathroom. Local codes "
    "prevail."
)
NO_WORSE_AIR = StoredSentence(
    "A tighter door must not leave the room with less air than before: ventilators of "
    "{room:g} mm\N{SUPERSCRIPT TWO} of equivalent area in a habitable room or kitchen and "
    "{bathroom:g} mm\N{SUPERSCRIPT TWO} in a bathroom, or ventilation by a machine that an expert "
    "finds enough. Local codes prevail."
)
VENTILATION_SOURCE = StoredSentence("{source}; existing ventilators 3.14, none 3.15 and 3.16")
SERVICES = StoredSentence("Services run in the reveal: {services}.")
SERVICES_AND_UNKNOWN = StoredSentence(
    "Services run in the reveal: {services}, and some that are not known yet."
)


@dataclass(frozen=True, slots=True)
class Finding:
    """`code` names the condition, `what` describes it, `caution` what to do about it."""

    code: str
    what: str
    caution: str
    source: str


@dataclass(frozen=True, slots=True)
class FindingLimits:
    """`drop`: fall outside beyond which guarding is wanted; `height` of it, and the diameter of the
    `sphere` that must not pass through it; mm. `ventilators` of a habitable room or a kitchen and
    `bathroom_ventilators`, mm2 of equivalent area."""

    drop: float
    drop_source: str
    height: float
    sphere: float
    guarding_source: str
    ventilators: float
    bathroom_ventilators: float
    ventilation_source: str


def condition_findings(conditions: Mapping[str, Any], limits: FindingLimits) -> tuple[Finding, ...]:
    """Findings from what a survey records besides readings, the dangerous ones first.

    `conditions` has the names of a survey's conditions; what was not recorded gives none.
    """
    findings = (
        _asbestos(conditions),
        _asbestos_survey(conditions),
        _drop(conditions, limits),
        _services_in_reveal(conditions),
        _lintel(conditions),
        _damp_proof_course(conditions),
        _cavity(conditions),
        _drainage(conditions),
        _safety_leader(conditions),
        _trickle_ventilation(conditions, limits),
        _notifiable(conditions),
    )
    return tuple(finding for finding in findings if finding)


def way_in_findings(plate: Plate, way_in: WayIn, rules: WayRules) -> tuple[Finding, ...]:
    """Whether a frame passes the way in that was measured, before anybody orders it."""
    passing = pass_way(plate, way_in, rules)
    if passing.obstacle is None:
        return ()
    caution = sentence(
        "Before it is ordered, look for another way in, ask the manufacturer for a frame in parts, "
        "or have a specialist plan how it is lifted over."
    )
    what = WAY_IN(obstacle=passing.obstacle)
    return (Finding("way_in", what, caution, "; ".join(rules.sources)),)


def _asbestos(conditions: Mapping[str, Any]) -> Finding | None:
    if not conditions.get("asbestos_suspected") or conditions.get("asbestos_cleared"):
        return None
    return Finding(
        "asbestos",
        sentence("Asbestos is suspected in or about the opening."),
        sentence(
            "Stop: do not drill, break, scrape or sweep. Keep people out until a competent "
            "person has sampled it; removal may need a licensed contractor."
        ),
        sentence("Control of Asbestos Regulations 2012, regulations 5 and 6"),
    )


def _asbestos_survey(conditions: Mapping[str, Any]) -> Finding | None:
    """Chrysotile was the last kind that was used, until November 1999; what nobody knows is taken
    to be older, as the regulations have it."""
    what = {
        "before_2000": sentence("The building is from before 2000: it may hold asbestos unseen."),
        "not_known": sentence("It is not known when it was built: it may hold asbestos unseen."),
    }
    age = conditions.get("built")
    if age not in what or conditions.get("asbestos_cleared") or _asbestos(conditions):
        return None
    return Finding(
        "asbestos_survey",
        what[age],
        sentence(
            "Have a refurbishment survey made of what is opened up, by a competent person, before "
            "anything is taken out or drilled, and record who made it; behind boards, in old "
            "sealants, sills and packings asbestos is not seen."
        ),
        sentence(
            "Control of Asbestos Regulations 2012, regulation 5; HSE HSG264, Asbestos: the survey "
            "guide, refurbishment surveys"
        ),
    )


def _drop(conditions: Mapping[str, Any], limits: FindingLimits) -> Finding | None:
    drop = conditions.get("outside_drop")
    if drop is None or drop <= limits.drop:
        return None
    guarded = conditions.get("guarding_present")
    return Finding(
        "guarding",
        (GUARDED_DROP if guarded else UNGUARDED_DROP)(drop=drop, limit=limits.drop),
        sentence(
            "Nobody opens the doorset onto an unguarded drop: agree the guarding and who "
            "provides it before the old door comes out, and guard the edge while work goes "
            "on. Outside, guarding is usually at least {height:g} mm high, lets no sphere of "
            "{sphere:g} mm through and gives no foothold to climb; local codes prevail.",
            height=limits.height,
            sphere=limits.sphere,
        ),
        "; ".join((limits.drop_source, limits.guarding_source)),
    )


def _services_in_reveal(conditions: Mapping[str, Any]) -> Finding | None:
    services = conditions.get("services_in_reveal")
    if not services:
        return None
    return Finding(
        "services_in_reveal",
        _services_named(services),
        sentence(
            "Trace, mark and isolate them before anything is cut or drilled; gas and "
            "electrical work is for people registered to do it."
        ),
        PRACTICE,
    )


def _services_named(services: Sequence[str]) -> str:
    """One that nobody could name may be any of them, so it is never left out."""
    known = ", ".join(service for service in services if service != "not_known")
    if "not_known" not in services:
        return SERVICES(services=known)
    if not known:
        return sentence("Services run in the reveal; which they are is not known yet.")
    return SERVICES_AND_UNKNOWN(services=known)


def _lintel(conditions: Mapping[str, Any]) -> Finding | None:
    if conditions.get("lintel_seen", True):
        return None
    return Finding(
        "lintel_not_seen",
        sentence("No lintel was seen over the opening."),
        sentence(
            "The old frame may be carrying the wall. Leave it in place until a structural "
            "engineer has said what holds the wall up."
        ),
        PRACTICE,
    )


def _damp_proof_course(conditions: Mapping[str, Any]) -> Finding | None:
    what = {
        "damaged": sentence("The damp-proof course is damaged."),
        "missing": sentence("There is no damp-proof course."),
        "not_seen": sentence("The damp-proof course could not be seen."),
    }
    state = conditions.get("damp_proof_course")
    if state not in what:
        return None
    return Finding(
        "damp_proof_course",
        what[state],
        sentence("Bring new damp-proof course, and lay it before the sill is packed."),
        PRACTICE,
    )


def _cavity(conditions: Mapping[str, Any]) -> Finding | None:
    if conditions.get("cavity") != "open":
        return None
    return Finding(
        "cavity",
        sentence("The cavity of the wall is open at the reveal."),
        sentence(
            "Have it closed, insulated and with a damp-proof course, before the frame goes in: "
            "cold and damp cross there, and a screw that ends in a cavity holds nothing."
        ),
        PRACTICE,
    )


def _drainage(conditions: Mapping[str, Any]) -> Finding | None:
    if conditions.get("threshold") != "level" or conditions.get("drainage") != "none":
        return None
    return Finding(
        "drainage",
        sentence("A level threshold is wanted where nothing drains the water away."),
        sentence("Agree a drainage channel or a fall away from the doorset before it is ordered."),
        PRACTICE,
    )


def _safety_leader(conditions: Mapping[str, Any]) -> Finding | None:
    what = {
        "principal_contractor": sentence(
            "Other contractors work on the site: the principal contractor leads safety."
        ),
        "not_known": sentence("Who leads safety on the site is not known yet."),
    }
    caution = {
        "principal_contractor": sentence(
            "Get the construction phase plan and the site rules from them, and agree access, "
            "lifting and who works where, before the visit."
        ),
        "not_known": sentence(
            "Settle it before work starts. Alone on the site, this firm leads, draws up the "
            "construction phase plan, and answers for what a householder would have to do as the "
            "client; with others there, a principal contractor does."
        ),
    }
    leader = conditions.get("safety_led_by")
    if leader not in what:
        return None
    source = sentence(
        "Construction (Design and Management) Regulations 2015, regulations 5, 7, 12 and 15; local "
        "law prevails"
    )
    return Finding("safety_leader", what[leader], caution[leader], source)


def _trickle_ventilation(conditions: Mapping[str, Any], limits: FindingLimits) -> Finding | None:
    present = conditions.get("trickle_ventilation_present")
    if present is None:
        return None
    caution = AS_MUCH_AIR if present else NO_WORSE_AIR
    return Finding(
        "trickle_ventilation",
        sentence("The old door has background ventilators.")
        if present
        else sentence("The old door has no background ventilators."),
        caution(room=limits.ventilators, bathroom=limits.bathroom_ventilators),
        VENTILATION_SOURCE(source=limits.ventilation_source),
    )


def ordered_ventilation_findings(
    conditions: Mapping[str, Any], ventilator: str
) -> tuple[Finding, ...]:
    """A doorset without what the old door had lets less air in than there was."""
    if ventilator or not conditions.get("trickle_ventilation_present"):
        return ()
    return (
        Finding(
            "ventilators_missing",
            sentence("The old door has background ventilators; the doorset is without any."),
            sentence(
                "Before it is ordered, choose ventilators no smaller than those of the old door, "
                "or have it shown that the dwelling is ventilated otherwise."
            ),
            sentence("Approved Document F (England), volume 1, 2021 edition, 3.14"),
        ),
    )


def _notifiable(conditions: Mapping[str, Any]) -> Finding | None:
    what = {
        "yes": sentence("The work is notifiable to building control."),
        "not_known": sentence("Whether the work is notifiable is not known yet."),
    }
    state = conditions.get("notifiable")
    if state not in what:
        return None
    return Finding(
        "notifiable",
        what[state],
        sentence("Settle before work starts who notifies and who certifies; local codes prevail."),
        sentence("Building Regulations 2010 (England), regulations 12 and 20"),
    )
