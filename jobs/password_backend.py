"""Where every password passes, of pages and programs alike."""

from typing import Any

from django.contrib.auth.backends import ModelBackend
from django.http import HttpRequest

from jobs.models import Person
from jobs.services.password_tries import begin_try, forget_tries


class PasswordBackend(ModelBackend):
    """Django's own, with patience: raises `NameWaits` while a name has to wait."""

    def authenticate(
        self,
        request: HttpRequest | None,
        username: str | None = None,
        password: str | None = None,
        **more: Any,
    ) -> Person | None:
        if username is None or password is None:
            return None
        begin_try(username)
        person = super().authenticate(request, username=username, password=password, **more)
        if not isinstance(person, Person):
            return None
        forget_tries(username)
        return person
