"""What to do next at the members of a frame, with forms that say that it was done."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.http import HttpRequest

from installs.arithmetic.packer_answers import AdvisedChange, PredictedReading
from installs.member_labels import MEMBER_TITLES
from installs.models import Inspection, PlanStep
from installs.next_act import MemberAct
from installs.state import InstallationState
from installs.views.packer_forms import AsAdvisedForm
from jobs.sentences import Sentence


@dataclass(frozen=True, slots=True)
class ChangeToMake:
    """`form` is None once packers were changed there after the inspection."""

    advised: AdvisedChange
    form: AsAdvisedForm | None


@dataclass(frozen=True, slots=True)
class ActToDo:
    """The act at one member, after the newest inspection of a step that has not passed."""

    step: PlanStep
    member: str
    title: Sentence
    act: MemberAct
    changes: list[ChangeToMake]
    cautions: tuple[str, ...]

    @property
    def all_made(self) -> bool:
        return bool(self.changes) and not any(change.form for change in self.changes)

    @property
    def predicted(self) -> tuple[PredictedReading, ...]:
        return self.act.act.predicted if self.changes else ()


def acts_to_do(
    request: HttpRequest, state: InstallationState, step: PlanStep | None = None
) -> list[ActToDo]:
    """Of this step alone where one is named."""
    return [
        act
        for one in state.steps
        if (step is None or one.step.pk == step.pk) and one.inspection and not one.passed
        for act in _of_inspection(request, state, one.step, one.inspection)
    ]


def forms_of(acts: list[ActToDo]) -> list[AsAdvisedForm]:
    return [change.form for act in acts for change in act.changes if change.form]


def _of_inspection(
    request: HttpRequest, state: InstallationState, step: PlanStep, inspection: Inspection
) -> Iterator[ActToDo]:
    if inspection.next_act is None:
        return
    since = [c for c in state.packer_changes if c.created_at > inspection.created_at]
    for act in inspection.next_act.members:
        if act.act.kind == "leave":
            continue
        changed = {c.position for c in since if c.member == act.member}
        changes = [
            ChangeToMake(
                advised,
                None
                if advised.at in changed
                else AsAdvisedForm(request, state.installation, act.member, advised, inspection.pk),
            )
            for advised in act.act.changes
        ]
        title = MEMBER_TITLES[act.member]
        yield ActToDo(step, act.member, title, act, changes, inspection.next_act.cautions)
