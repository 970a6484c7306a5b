"""A fitter's pages at their barest, for what a phone does with forms and pages: today, a fitting,
its junctions and its defects. The pages of the project itself are tried in their own tests."""

from typing import Any
from uuid import uuid4

from django.http import HttpRequest, HttpResponse
from django.template import engines
from django.urls import path

from config.urls import urlpatterns as pages_of_the_project
from installs.models import Installation
from jobs.views.access import person_of, sign_in_required
from surveys.models import Instrument

FRAME = '{%% extends "jobs/page.html" %%}{%% block main %%}%s{%% endblock %%}'
TODAY = """<h1>Today</h1>{% for fitting in fittings %}
<a href="/fittings/{{ fitting.pk }}/">{{ fitting }}</a>{% endfor %}"""
FITTING = """<h1>Fitting</h1>{% for junction in fitting.plan.junctions %}
<p><a href="/fittings/{{ fitting.pk }}/junctions/{{ junction.number }}/">
Junction {{ junction.number }}</a></p>{% endfor %}
<p><a href="/fittings/{{ fitting.pk }}/defects/">Defects</a></p>"""
FORM = """<form method="post" data-operation="%s" data-record="{{ new_id }}" data-base-version=""
 data-title="%s">{%% csrf_token %%}
<input type="hidden" name="id" value="{{ new_id }}" data-not-sent>
<input type="hidden" name="installation" value="{{ fitting.pk }}">%s</form>"""
FIXED = """<input type="hidden" name="junction" value="{{ number }}" data-as="integer">
<input type="hidden" name="%s" value="%s">"""
FIGURE = """<div class="field"><label for="%s">%s</label><div class="with-unit">
<input id="%s" name="%s" data-as="number" inputmode="decimal"><span class="unit">%s</span>
</div></div>"""
JUNCTION = (
    "<h1>Junction {{ number }}</h1>"
    + FORM
    % (
        "record_gap",
        "Gaps of junction {{ number }}",
        FIXED % ("instrument", "{{ instrument }}")
        + FIGURE % ("head", "Gap at the head", "head", "head_gap", "mm")
        + FIGURE % ("sill", "Gap at the sill", "sill", "sill_gap", "mm")
        + "<button>Record these gaps</button>",
    )
    + FORM
    % (
        "record_lift",
        "Turns at junction {{ number }}",
        FIXED % ("chain", "left")
        + FIGURE % ("turns", "Turns made", "turns", "turns", "turns")
        + "<button>Record these turns</button>",
    )
    + """<ol aria-label="On record">{% for gap in gaps %}
<li>{{ gap.head_gap }} and {{ gap.sill_gap }}</li>{% endfor %}</ol>"""
)
DEFECTS = (
    "<h1>Defects</h1>"
    + FORM
    % (
        "report_defect",
        "Defect",
        """<label for="severity">Severity</label><select id="severity" name="severity">
<option value="minor">minor</option><option value="cosmetic">cosmetic</option></select>
<label for="description">What is wrong</label><input id="description" name="description">
<label for="photo">Photo</label><input type="file" id="photo" name="photo" data-not-sent
 data-photo-to="/api/v1/installations/{{ fitting.pk }}/photos/"
 data-photo-fields='{"defect": "{{ new_id }}"}'><button>Report it</button>""",
    )
    + """{% for defect in defects %}<h2>{{ defect.description }}</h2>
<form data-operation="put_defect_right" data-record="{{ defect.pk }}"
 data-base-version="{{ defect.version }}" data-title="{{ defect.description }}: put right">
<label for="how">How it was put right</label><input id="how" name="how"><button>It is right</button>
</form>{% endfor %}"""
)


def _shown(request: HttpRequest, page: str, **more: object) -> HttpResponse:
    template = engines["django"].from_string(FRAME % page)
    return HttpResponse(template.render(more, request))


def _of(request: HttpRequest) -> Any:
    return Installation.objects.visible_to(person_of(request))


@sign_in_required
def today(request: HttpRequest) -> HttpResponse:
    return _shown(request, TODAY, fittings=_of(request))


@sign_in_required
def fitting(request: HttpRequest, pk: str) -> HttpResponse:
    return _shown(request, FITTING, fitting=_of(request).get(pk=pk))


@sign_in_required
def junction(request: HttpRequest, pk: str, number: int) -> HttpResponse:
    found = _of(request).get(pk=pk)
    return _shown(
        request,
        JUNCTION,
        fitting=found,
        number=number,
        new_id=uuid4(),
        instrument=Instrument.objects.filter(kind=Instrument.Kind.TAPE).first().pk,
        gaps=found.gaps.filter(junction=number).order_by("created_at"),
    )


@sign_in_required
def defects(request: HttpRequest, pk: str) -> HttpResponse:
    found = _of(request).get(pk=pk)
    shown = {"fitting": found, "defects": found.defects.all(), "new_id": uuid4()}
    return _shown(request, DEFECTS, **shown)


urlpatterns = [
    path("today/", today, name="today"),
    path("fittings/<uuid:pk>/", fitting),
    path("fittings/<uuid:pk>/junctions/<int:number>/", junction),
    path("fittings/<uuid:pk>/defects/", defects),
    *pages_of_the_project,
]
