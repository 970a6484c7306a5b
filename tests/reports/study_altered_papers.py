"""A certificate is altered in many ways, and the verification of the file alone has to find each.

    python -m tests.reports.study_altered_papers FILE.pdf --changes 2000 --seed 1

Prints how many were found and in what, and exits with 1 when one was not.
"""

import argparse
import logging
import sys
from collections import Counter
from itertools import islice
from pathlib import Path
from random import Random

from tests.reports.altered import alterations, what_is_broken


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("paper", type=Path)
    parser.add_argument("--changes", type=int, default=2000)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    # Damaged files make their reader complain at length.
    logging.disable(logging.CRITICAL)
    content = given.paper.read_bytes()
    if broken := what_is_broken(content):
        sys.exit(f"it is broken as it is: {broken.says}")
    counted, missed = Counter[str](), []
    for what, altered in islice(alterations(content, Random(given.seed)), given.changes):
        broken = what_is_broken(altered)
        counted[broken.about if broken else "not found"] += 1
        missed += [] if broken else [what]
    print(f"{given.changes} alterations of {len(content)} bytes: {dict(counted)}")
    for what in missed:
        print(f"NOT FOUND: {what}")
    sys.exit(bool(missed))


if __name__ == "__main__":
    main()
