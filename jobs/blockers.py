"""Every condition that can stand in the way of a gate, with what is done about it.

A code is declared here and nowhere else: the pages that deal with it and what each asks for,
whether the office may accept it as it is, and whether the crew does it during the visit itself.
"""

from dataclasses import dataclass
from enum import Enum, StrEnum, auto

from jobs.capabilities import Capability


class Named(Enum):
    """What the address of a page names, found by the record that a blocker is about."""

    JOB = auto()
    OPENING = auto()
    SURVEY = auto()
    # The visit on which it will be fitted, as whoever looks may see it.
    FITTING_VISIT = auto()
    DOORSET = auto()
    FITTING = auto()
    STEP = auto()
    DEFECT = auto()


@dataclass(frozen=True, slots=True)
class Page:
    """A page by the name of its route, what its address names, and what it asks for."""

    route: str
    names: tuple[Named, ...]
    needs: Capability
    query: str = ""


@dataclass(frozen=True, slots=True)
class Condition:
    """Of `pages` the first that has an address for the blocker's record deals with it. What is
    `concedable` the office may accept where the rule set names it, everything else never.
    """

    pages: tuple[Page, ...]
    concedable: bool = False
    during_visit: bool = False


OF_JOB = (Named.JOB,)
OF_OPENING = (Named.JOB, Named.OPENING)
OF_FITTING = (Named.FITTING,)

DOORSET_PAGE = (Page("doorset", OF_OPENING, Capability.MANAGE_JOBS),)
DELIVERY_PAGE = (Page("record-delivery", OF_OPENING, Capability.RECORD_FITTING),)
NEW_SURVEY_PAGE = (Page("survey-opening", OF_OPENING, Capability.MEASURE),)
CHECK_PAGE = (Page("survey-opening", OF_OPENING, Capability.MEASURE, "?read=checks.widths#check"),)
SURVEY_PAGES = (
    Page("survey-result", (*OF_OPENING, Named.SURVEY), Capability.MEASURE),
    *NEW_SURVEY_PAGE,
)
FITTING_PAGE = (Page("fitting", OF_FITTING, Capability.RECORD_FITTING),)
STEP_PAGE = (Page("fitting-step", (*OF_FITTING, Named.STEP), Capability.RECORD_FITTING),)
DEFECT_PAGE = (Page("fitting-defect", (*OF_FITTING, Named.DEFECT), Capability.RECORD_FITTING),)
# A fitting is planned for a visit, so that is booked first.
PLANNING_PAGES = (
    Page("plan-fitting", (Named.FITTING_VISIT, Named.DOORSET), Capability.RECORD_FITTING),
    Page("book-visit", OF_JOB, Capability.BOOK, "?kind=fitting"),
)
JOURNAL_PAGE = (Page("journal", OF_JOB, Capability.READ_JOURNAL),)
RETURN_VISIT_PAGE = (Page("book-visit", OF_JOB, Capability.BOOK, "?kind=return"),)


class BlockerCode(StrEnum):
    """The code of a blocker as the API has it; a step that has not passed has its own instead."""

    OPENING = "opening", Condition((Page("add-opening", OF_JOB, Capability.MANAGE_JOBS),))
    # Before a doorset is ordered.
    DOORSET = "doorset", Condition(DOORSET_PAGE)
    PROFILE_LIMIT = "profile_limit", Condition(DOORSET_PAGE)
    UNSAFE_GLASS = "unsafe_glass", Condition(DOORSET_PAGE)
    SURVEY = "survey", Condition(SURVEY_PAGES)
    CALIBRATION = "calibration", Condition(NEW_SURVEY_PAGE)
    FIT = "fit", Condition(SURVEY_PAGES)
    SECOND_INSTRUMENT = "second_instrument", Condition(CHECK_PAGE)
    # Before the old door comes out: without it the house stands open.
    ORDER = "order", Condition((Page("order-doorset", OF_OPENING, Capability.ORDER),))
    DELIVERY = "delivery", Condition(DELIVERY_PAGE)
    DELIVERED_SIZE = "delivered_size", Condition(DELIVERY_PAGE)
    LEAVES = "leaves", Condition(DELIVERY_PAGE)
    SURVEY_BEFORE_REMOVAL = "survey_before_removal", Condition(NEW_SURVEY_PAGE, during_visit=True)
    ASBESTOS = "asbestos", Condition(NEW_SURVEY_PAGE)
    # While the doorset is fitted. A frame that only foam holds falls out of the wall.
    INSTALLATION = "installation", Condition(PLANNING_PAGES)
    STEP = "step", Condition(STEP_PAGE, concedable=True)
    FIXING_LAYOUT = "fixing_layout", Condition(FITTING_PAGE, concedable=True)
    MECHANICAL_FIXING = "mechanical_fixing", Condition(FITTING_PAGE)
    FIXING_POSITION = "fixing_position", Condition(FITTING_PAGE, concedable=True)
    JUNCTION_GAP = "junction_gap", Condition(FITTING_PAGE, concedable=True)
    BEAD = "bead", Condition(FITTING_PAGE)
    SASH = "sash", Condition(FITTING_PAGE)
    PHOTO = "photo", Condition(STEP_PAGE, concedable=True)
    # A major one is accepted with what fell short at the step whose failure opened it, else put
    # right, and a critical one never.
    DEFECT = "defect", Condition(DEFECT_PAGE)
    MINOR_DEFECT = "minor_defect", Condition(DEFECT_PAGE, concedable=True)
    # Before the certificate.
    HANDOVER = "handover", Condition((Page("handover", OF_JOB, Capability.RECORD_FITTING),))
    VISIT = "visit", Condition((Page("job", OF_JOB, Capability.BOOK, "#visits"),))
    RETURN_VISIT = "return_visit", Condition(RETURN_VISIT_PAGE)
    # A record was changed past the service, so that nothing can be said to be on record.
    JOURNAL = "journal", Condition(JOURNAL_PAGE)

    condition: Condition

    def __new__(cls, code: str, condition: Condition) -> "BlockerCode":
        member = str.__new__(cls, code)
        member._value_ = code
        member.condition = condition
        return member
