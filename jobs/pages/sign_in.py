"""Signing in with a browser."""

from typing import Any, cast

from django.contrib.auth.views import LoginView
from django.http import HttpRequest, HttpResponse
from rest_framework.throttling import ScopedRateThrottle


class SignIn(LoginView):
    """Django's sign-in, with the same limit on guesses as the one for programs."""

    template_name = "jobs/sign_in.html"
    redirect_authenticated_user = True
    throttle_scope = "sign_in"

    def post(self, request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if not ScopedRateThrottle().allow_request(cast(Any, request), cast(Any, self)):
            return self.render_to_response(
                self.get_context_data(form=self.get_form_class()(), too_many=True), status=429
            )
        return super().post(request, *args, **kwargs)
