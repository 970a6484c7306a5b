"""What stands in a record in the place of what was erased."""

import json

import rfc8785

ERASED = "erased"
# RFC 2606: nothing is ever delivered there.
ERASED_ADDRESS = "erased@erased.invalid"


def redacted(record: str) -> str:
    """The frozen record of a paper without the customer: no name, address or signature. Every
    reading, verdict, photo's digest and name of the firm's own people stays."""
    facts = json.loads(record)
    facts["customer"]["name"] = ERASED
    facts["site"]["address"] = [ERASED]
    if handover := facts.get("handover"):
        handover |= {"customer_name": ERASED, "signature": []}
    return rfc8785.dumps(facts).decode()
