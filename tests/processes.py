"""What the system tells of processes."""

from pathlib import Path


def children_of(process: int) -> list[int]:
    """The ids of those that it has started and that still run."""
    children = Path(f"/proc/{process}/task/{process}/children").read_text(encoding="ascii")
    return [int(child) for child in children.split()]
