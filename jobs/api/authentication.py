"""Signing in: a token narrows a person to its one role, and a session may be held to its person."""

from typing import Any

from django.utils import timezone
from django.utils.translation import gettext as _
from drf_spectacular.authentication import SessionScheme
from drf_spectacular.extensions import OpenApiAuthenticationExtension
from knox.auth import TokenAuthentication
from rest_framework.authentication import SessionAuthentication
from rest_framework.exceptions import AuthenticationFailed
from rest_framework.request import Request

from jobs.models import Person, Token

PERSON_HEADER = "Sillwright-Person"


class RoleTokenAuthentication(TokenAuthentication):
    def authenticate_credentials(self, token: bytes) -> tuple[Person, Token]:
        if not token.isascii():
            raise AuthenticationFailed(_("The token is not valid."))
        return super().authenticate_credentials(token)

    def _cleanup_token(self, auth_token: Token) -> bool:
        """Whether it has expired. Nothing is deleted while a request is answered, and the person's
        other tokens are not read; `forget_expired_sign_ins` is for that."""
        return auth_token.expiry is not None and auth_token.expiry < timezone.now()

    def validate_user(self, auth_token: Token) -> tuple[Person, Token]:
        person, token = super().validate_user(auth_token)
        person.narrowed_to = frozenset({token.role} if token.role_is_held else ())
        return person, token


class RoleTokenScheme(OpenApiAuthenticationExtension):
    target_class = "jobs.api.authentication.RoleTokenAuthentication"
    name = "token"

    def get_security_definition(self, auto_schema: Any) -> dict[str, str]:
        return {
            "type": "apiKey",
            "in": "header",
            "name": "Authorization",
            "description": "`Token` and a space, then the token from POST /api/v1/tokens/.",
        }


class HeldSessionAuthentication(SessionAuthentication):
    """The session of a browser. A page that kept something for its person says for whom in
    `Sillwright-Person`, so that nobody who signs in afterwards sends it as their own."""

    def authenticate(self, request: Request) -> tuple[Any, None] | None:
        session = super().authenticate(request)
        person = request.headers.get(PERSON_HEADER)
        if session and person is not None and person != str(session[0].pk):
            raise AuthenticationFailed(_("This belongs to somebody else, not to you."))
        return session


class HeldSessionScheme(SessionScheme):
    target_class = "jobs.api.authentication.HeldSessionAuthentication"
