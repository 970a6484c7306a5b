"""The shape of every calculation without a record: a strict body in, an answer out."""

from dataclasses import asdict
from typing import Any, ClassVar

from django.utils.translation import gettext as _
from rest_framework import permissions, serializers
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from jobs.errors import InvalidField
from jobs.models import RuleSet
from jobs.rules import Rules


class CalculationView(APIView):
    """`POST /api/v1/calculations/<name>/` for anybody who is signed in.

    A view names its `body_serializer` and works the validated body out into a dataclass or dict.
    """

    permission_classes = (permissions.IsAuthenticated,)
    body_serializer: ClassVar[type[serializers.BaseSerializer]]

    def work_out(self, body: dict[str, Any]) -> Any:
        raise NotImplementedError

    def post(self, request: Request) -> Response:
        serializer = self.body_serializer(data=request.data)
        serializer.is_valid(raise_exception=True)
        answer = self.work_out(dict(serializer.validated_data))
        return Response(answer if isinstance(answer, dict) else asdict(answer))


def rules_named(name: str | None) -> Rules:
    """The rule set a calculation asks for by name, by default the newest.

    Raises `InvalidField` naming the rule sets there are.
    """
    newest_first = RuleSet.objects.newest_first()
    rule_set = newest_first.filter(name=name).first() if name else newest_first.first()
    if rule_set:
        return rule_set.rules
    if names := ", ".join(newest_first.values_list("name", flat=True)):
        detail = _("there is no such rule set; there are: {names}").format(names=names)
        raise InvalidField("/rule_set", detail)
    raise InvalidField("/rule_set", _("no rule set is loaded"))
