"""A state machine that does whatever anybody could do about a small job, in any order."""
