"""The page that the addresses of problem types lead to."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from jobs.api.problem_types import ProblemType


@require_safe
def problem_types(request: HttpRequest) -> HttpResponse:
    """Every type with its title, status and meaning, for whoever reads a problem document."""
    return render(request, "jobs/problem_types.html", {"problem_types": list(ProblemType)})
