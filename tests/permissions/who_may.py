"""The answers that a route can give, and who gets which: the words of the tables of routes."""

from collections.abc import Mapping

IN = "let in"
SIGN_IN = "sign in first"
NOT_YOUR_ROLE = "not for your role"
NOT_THERE = "not there"

NOBODY = "nobody"
SURVEYOR = "surveyor with a visit"
OTHER_SURVEYOR = "another surveyor"
FITTER = "fitter with a visit"
OTHER_FITTER = "another fitter"
SUBCONTRACTOR = "subcontractor with a visit"
OTHER_SUBCONTRACTOR = "another subcontractor"
OFFICE = "office"
EVERYBODY = (
    NOBODY,
    SURVEYOR,
    OTHER_SURVEYOR,
    FITTER,
    OTHER_FITTER,
    SUBCONTRACTOR,
    OTHER_SUBCONTRACTOR,
    OFFICE,
)

Answers = Mapping[str, str]


def _all(surveyors: str, fitters: str, *, strangers: str = "") -> dict[str, str]:
    """The office is let in, and subcontractors where fitters are. `strangers` are those without a
    visit at the job, where that matters to people whose role is let in."""
    return {
        NOBODY: SIGN_IN,
        SURVEYOR: surveyors,
        OTHER_SURVEYOR: strangers if strangers and surveyors == IN else surveyors,
        FITTER: fitters,
        OTHER_FITTER: strangers if strangers and fitters == IN else fitters,
        SUBCONTRACTOR: fitters,
        OTHER_SUBCONTRACTOR: strangers if strangers and fitters == IN else fitters,
        OFFICE: IN,
    }


WHOEVER_COMES = dict.fromkeys(EVERYBODY, IN)
OPENS_NOTHING = dict.fromkeys(EVERYBODY, NOT_THERE)
SENT_TO_SIGN_IN = dict.fromkeys(EVERYBODY, SIGN_IN)
WHOEVER_SIGNED_IN = _all(IN, IN)
OFFICE_ALONE = _all(NOT_YOUR_ROLE, NOT_YOUR_ROLE)
FITTERS = _all(NOT_YOUR_ROLE, IN)
SURVEYORS_AND_FITTERS = _all(IN, IN) | {OFFICE: NOT_YOUR_ROLE}
THOSE_WITH_A_VISIT = _all(IN, IN, strangers=NOT_THERE)
SURVEYORS_WITH_A_VISIT = _all(IN, NOT_THERE, strangers=NOT_THERE)
FITTERS_WITH_A_VISIT = _all(NOT_YOUR_ROLE, IN, strangers=NOT_THERE)
# What belongs to the fitter with the visit.
FITTERS_OWN = _all(NOT_THERE, NOT_THERE) | {FITTER: IN}
# Papers of a job: whoever has a visit there knows of the job, and is told whose the paper is.
ASKED_BY_SURVEYORS = THOSE_WITH_A_VISIT | dict.fromkeys((FITTER, SUBCONTRACTOR), NOT_YOUR_ROLE)
ASKED_BY_FITTERS = THOSE_WITH_A_VISIT | {SURVEYOR: NOT_YOUR_ROLE}
ASKED_BY_THE_OFFICE = ASKED_BY_SURVEYORS | {SURVEYOR: NOT_YOUR_ROLE}
