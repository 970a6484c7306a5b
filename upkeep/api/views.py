"""Endpoints for what a customer may ask of the firm: what it holds, and that it is erased."""

from typing import Any, ClassVar

from drf_spectacular.types import OpenApiTypes
from drf_spectacular.utils import extend_schema
from rest_framework.request import Request
from rest_framework.response import Response

from jobs.api.serializers import CustomerSerializer
from jobs.api.viewsets import RecordViewSet
from jobs.capabilities import Capability
from jobs.models import Customer
from upkeep.api import serializers as bodies
from upkeep.personal_data.export import personal_data
from upkeep.services.erasure import erase_customer


class PersonalDataViewSet(RecordViewSet):
    """For the office alone. Make sure who is asking."""

    model = Customer
    serializer_class = CustomerSerializer
    required_capabilities: ClassVar = {
        "held": Capability.MANAGE_PERSONAL_DATA,
        "erase": Capability.MANAGE_PERSONAL_DATA,
    }
    changes_a_version = frozenset({"erase"})

    @extend_schema(responses=OpenApiTypes.OBJECT)
    def held(self, request: Request, pk: Any) -> Response:
        """Every record about the customer, by kind. Papers and photos are fetched by themselves."""
        return Response(personal_data(self.get_object()))

    @extend_schema(request=bodies.EraseSerializer, responses=bodies.ErasureSerializer)
    def erase(self, request: Request, pk: Any) -> Response:
        """Erase who the customer is from every record, for good; what was measured and fitted
        stays. 409 while a job is in hand or must be kept."""
        version = self.expected_version
        erasure = erase_customer(
            actor=self.actor,
            customer=self.get_object(),
            expected_version=version,
            **self.get_validated_data(bodies.EraseSerializer),
        )
        answer = bodies.ErasureSerializer(erasure, context=self.get_serializer_context())
        return Response(answer.data, headers={"ETag": f'"{erasure.customer.version}"'})
