"""A device that signs, with a library for JOSE that the service does not use (joserfc)."""

import json
from typing import Any
from uuid import uuid4

from joserfc import jws
from joserfc.jwk import ECKey

from jobs.models import EnrolledKey, Person
from jobs.services.device_keys import enrol_key
from tests import factories

NOT_SIGNED = ("after", "also_after", "jws")


class Device:
    """`person`'s, enrolled unless that is left out."""

    def __init__(self, person: Person, *, enrolled: bool = True) -> None:
        self.key = ECKey.generate_key("P-256")
        self.person = person
        if enrolled:
            self.on_record = self.enrol()

    def enrol(self) -> EnrolledKey:
        return enrol_key(
            actor=self.person,
            password=factories.PASSWORD,
            device="Work phone",
            public_key=self.public_key,
        )

    @property
    def public_key(self) -> dict[str, Any]:
        jwk: dict[str, Any] = self.key.as_dict(private=False)
        return {name: jwk[name] for name in ("kty", "crv", "x", "y")}

    @property
    def thumbprint(self) -> str:
        return self.key.thumbprint()

    def signature(self, operation: dict[str, Any], **otherwise: Any) -> str:
        said = {name: value for name, value in operation.items() if name not in NOT_SIGNED}
        content = said | {"nonce": uuid4().hex} | otherwise
        header = {"alg": "ES256", "kid": self.thumbprint}
        return jws.serialize_compact(header, json.dumps(content), self.key)

    def signed(self, operation: dict[str, Any]) -> dict[str, Any]:
        return operation | {"jws": self.signature(operation)}
