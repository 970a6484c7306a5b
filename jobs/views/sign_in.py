"""Signing in with a browser: the password, then the code of whoever has a second factor."""

from datetime import timedelta
from typing import Any

from django.contrib.auth import login
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.dateparse import parse_datetime
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods
from django_otp import login as remember_device

from jobs.errors import Unavailable
from jobs.models import Person
from jobs.services.password_tries import NameWaits
from jobs.services.second_factor import accept_code, enrolled_device
from jobs.views.rate_limit import seconds_to_wait
from jobs.views.second_factor_forms import CodeForm

SCOPE = "sign_in"
PASSWORD_GIVEN = "password_given"  # noqa: S105 a key of the session
CODE_WITHIN = timedelta(minutes=5)
BACKEND = "jobs.password_backend.PasswordBackend"


class SignInView(LoginView):
    """Django's sign-in, with the same limits on guesses as the one for programs."""

    template_name = "jobs/sign_in.html"
    redirect_authenticated_user = True

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if seconds := seconds_to_wait(request, SCOPE):
            return self._wait(seconds)
        try:
            return super().post(request, *args, **kwargs)
        except NameWaits as waits:
            return self._wait(waits.seconds)
        except Unavailable as unavailable:
            return self._later(str(unavailable))

    def form_valid(self, form: AuthenticationForm) -> HttpResponse:
        person = form.get_user()
        if enrolled_device(person) is None:
            return super().form_valid(form)
        self.request.session.cycle_key()
        self.request.session[PASSWORD_GIVEN] = {
            "person": str(person.pk),
            "at": timezone.now().isoformat(),
            "next": self.get_success_url(),
        }
        return redirect("sign-in-code")

    def _wait(self, seconds: int) -> HttpResponse:
        """The same whether or not anybody has the name."""
        answer = self._once_more(429, wait=_minutes(seconds))
        answer["Retry-After"] = str(seconds)
        return answer

    def _later(self, why: str) -> HttpResponse:
        return self._once_more(503, unavailable=why)

    def _once_more(self, status: int, **context: Any) -> HttpResponse:
        """The form again; the name stays in its field."""
        form = self.get_form_class()(initial={"username": self.request.POST.get("username", "")})
        return self.render_to_response(self.get_context_data(form=form, **context), status=status)


@never_cache
@require_http_methods(["GET", "POST"])
def sign_in_code(request: HttpRequest) -> HttpResponse:
    """The second step: nobody is signed in until the code has come."""
    person = _who_gave_the_password(request)
    if person is None:
        return redirect("sign-in")
    form = CodeForm(request.POST or None)
    if request.method == "POST":
        if seconds := seconds_to_wait(request, SCOPE):
            context = {"form": CodeForm(), "wait": _minutes(seconds)}
            answer = render(request, "jobs/second_factor_code.html", context, status=429)
            answer["Retry-After"] = str(seconds)
            return answer
        device = form.attempt(lambda code: accept_code(person=person, code=code))
        if device:
            following = request.session.pop(PASSWORD_GIVEN)["next"]
            login(request, person, backend=BACKEND)
            remember_device(request, device)
            return redirect(following)
    return render(request, "jobs/second_factor_code.html", {"form": form})


def _who_gave_the_password(request: HttpRequest) -> Person | None:
    """Of this session, a few minutes ago at most, and still with the firm."""
    first_step: dict[str, str] = request.session.get(PASSWORD_GIVEN, {})
    at = parse_datetime(first_step.get("at", ""))
    if at is None or timezone.now() - at > CODE_WITHIN:
        return None
    return Person.objects.filter(pk=first_step["person"], is_active=True).first()


def _minutes(seconds: int) -> int:
    """Begun ones count whole."""
    return (seconds + 59) // 60
