"""Signing in with a program, and the people of the firm."""

from typing import ClassVar, cast

from django.contrib.auth import authenticate
from django.db.models import QuerySet
from django.utils.translation import gettext as _
from drf_spectacular.utils import extend_schema
from rest_framework import exceptions, permissions, status, viewsets
from rest_framework.request import Request
from rest_framework.response import Response
from rest_framework.views import APIView

from jobs.api import serializers as bodies
from jobs.api.pagination import NewestFirstPagination
from jobs.api.throttles import ScopedThrottle
from jobs.api.viewsets import HasCapability
from jobs.capabilities import Capability
from jobs.models import Person, Token
from jobs.services import people as services
from jobs.services.password_tries import NameWaits
from jobs.services.second_factor import accept_code, enrolled_device


class TokenView(APIView):
    """Sign in for one role; the token is answered once, stored hashed, and expires."""

    permission_classes = (permissions.AllowAny,)
    authentication_classes = ()
    throttle_classes = (ScopedThrottle,)
    throttle_scope = "sign_in"

    def get_authenticate_header(self, request: Request) -> str:
        """A wrong password is a 401 although this address itself asks for no token."""
        return "Token"

    @extend_schema(request=bodies.TokenCreateSerializer, responses={201: bodies.TokenSerializer})
    def post(self, request: Request) -> Response:
        serializer = bodies.TokenCreateSerializer(data=request.data)
        serializer.is_valid(raise_exception=True)
        sign_in = serializer.validated_data
        person = _person(request, sign_in)
        if enrolled_device(person):
            accept_code(person=person, code=sign_in["code"])
        secret, expires_at = services.issue_token(person=person, role=sign_in["role"])
        answer = {"token": secret, "role": sign_in["role"], "expires_at": expires_at}
        return Response(bodies.TokenSerializer(answer).data, status.HTTP_201_CREATED)


def _person(request: Request, sign_in: dict[str, str]) -> Person:
    """Whose name and password these are; the same answer whether the name or the password is wrong,
    and while a name has to wait."""
    try:
        person = authenticate(request, username=sign_in["username"], password=sign_in["password"])
    except NameWaits as waits:
        raise exceptions.Throttled(waits.seconds) from waits
    if not isinstance(person, Person):
        raise exceptions.AuthenticationFailed(_("The name or the password is wrong."))
    return person


class CurrentTokenView(APIView):
    """The token that the request is signed in with."""

    @extend_schema(request=None, responses={204: None})
    def delete(self, request: Request) -> Response:
        """Sign out: the token is of no use any more."""
        if isinstance(request.auth, Token):
            request.auth.delete()
        return Response(status=status.HTTP_204_NO_CONTENT)


class UsernamePagination(NewestFirstPagination):
    ordering = ("username", "id")


class PersonViewSet(viewsets.GenericViewSet):
    """People of the firm who may sign in; the office adds and reads them."""

    permission_classes = (HasCapability,)
    serializer_class = bodies.PersonSerializer
    pagination_class = UsernamePagination
    required_capabilities: ClassVar = {
        "list": Capability.MANAGE_PEOPLE,
        "create": Capability.MANAGE_PEOPLE,
    }

    def get_queryset(self) -> QuerySet:
        return Person.objects.filter(is_active=True).prefetch_related("role_records")

    def list(self, request: Request) -> Response:
        page = self.paginate_queryset(self.get_queryset())
        return self.get_paginated_response(self.get_serializer(page, many=True).data)

    @extend_schema(request=bodies.PersonCreateSerializer, responses={201: bodies.PersonSerializer})
    def create(self, request: Request) -> Response:
        serializer = bodies.PersonCreateSerializer(data=request.data)
        serializer.is_valid(raise_exception=True)
        body = dict(serializer.validated_data)
        full_name = (body.pop("first_name"), body.pop("last_name"))
        person = services.add_person(actor=cast(Person, request.user), full_name=full_name, **body)
        return Response(bodies.PersonSerializer(person).data, status.HTTP_201_CREATED)
