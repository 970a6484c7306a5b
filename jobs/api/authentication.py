"""Signing in with a token narrows a person to the token's one role."""

from typing import Any

from drf_spectacular.extensions import OpenApiAuthenticationExtension
from knox.auth import TokenAuthentication
from rest_framework.exceptions import AuthenticationFailed

from jobs.models import Person, Token


class RoleTokenAuthentication(TokenAuthentication):
    def authenticate_credentials(self, token: bytes) -> tuple[Person, Token]:
        if not token.isascii():
            raise AuthenticationFailed("The token is none of ours.")
        return super().authenticate_credentials(token)

    def validate_user(self, auth_token: Token) -> tuple[Person, Token]:
        person, token = super().validate_user(auth_token)
        person.narrowed_to = token.role
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
