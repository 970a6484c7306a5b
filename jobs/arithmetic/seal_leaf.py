"""What a seal holds of one chain, as a leaf of its Merkle tree. Pure."""

from typing import Any

import rfc8785

from jobs.arithmetic.merkle import Hash, leaf_hash


def chain_leaf(stream: str, number: int, digest: str) -> dict[str, Any]:
    """That a chain's entry of this number has this digest, and so everything before it."""
    return {"stream": stream, "number": number, "digest": digest}


def hash_of_leaf(leaf: dict[str, Any]) -> Hash:
    """Over its canonical JSON (RFC 8785)."""
    return leaf_hash(rfc8785.dumps(leaf))
