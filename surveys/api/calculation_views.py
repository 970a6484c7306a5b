"""Opening-fit without any record."""

from dataclasses import asdict
from typing import Any

from drf_spectacular.utils import extend_schema

from jobs.api.calculation import CalculationView, rules_named
from surveys.api.opening_serializers import OpeningFitSerializer
from surveys.services.fit_decisions import answer_fit
from surveys.services.fit_rules import read_fit_request


class OpeningFitCalculationView(CalculationView):
    """Does a frame fit an opening, how sure is that, and what joint is left all round?"""

    body_serializer = OpeningFitSerializer

    @extend_schema(request=OpeningFitSerializer, responses={200: dict})
    def post(self, *args: Any, **kwargs: Any) -> Any:
        return super().post(*args, **kwargs)

    def work_out(self, body: dict[str, Any]) -> dict[str, Any]:
        rules = rules_named(body.get("rule_set"))
        return rules.signed(asdict(answer_fit(read_fit_request(body, rules))))
