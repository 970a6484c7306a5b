"""The names under which a paper carries its record and the proof of it."""

RECORD = "record.json"
PROOF = "proof.json"
