"""`python -m reports.verification FILE.pdf [CHECKPOINT ...] [--json]`: is this paper what it says?

Needs neither the service nor the firm. Ends with 0 where everything that the file carries holds,
with 1 where something is broken, with 2 where a file cannot be opened or a witness's not read, and
with 3 where nothing is broken and the file lacks what ties it to a journal.
"""

import argparse
import json
import logging
import sys
from collections.abc import Sequence
from pathlib import Path

from jobs.checkpoints import UnreadableCheckpoint, read_checkpoint
from jobs.sentences import sentence
from reports.verification.findings import Finding, Standing, Verdict, verdict_of
from reports.verification.paper import check_paper
from reports.verification.witnesses import Witness

EXIT = {Verdict.HOLDS: 0, Verdict.BROKEN: 1, Verdict.INCOMPLETE: 3}
UNUSABLE = 2
HEADINGS = {
    Standing.BROKEN: sentence("What is broken"),
    Standing.HOLDS: sentence("What holds"),
    Standing.UNKNOWN: sentence("What cannot be known from the file alone"),
}
VERDICTS = {
    Verdict.HOLDS: sentence("Everything that this file carries holds."),
    Verdict.BROKEN: sentence("Do not rely on this file: something in it is broken."),
    Verdict.INCOMPLETE: sentence(
        "Nothing in this file is broken, and it does not carry all of its proof."
    ),
}


def main(arguments: Sequence[str] | None = None) -> int:
    """Returns the exit code."""
    given = _parser().parse_args(arguments)
    # A damaged file makes its reader complain at length; what comes of it is said below.
    logging.disable(logging.CRITICAL)
    try:
        return _verify(given)
    finally:
        logging.disable(logging.NOTSET)


def _verify(given: argparse.Namespace) -> int:
    try:
        content = Path(given.paper).read_bytes()
        witnesses = [(name, _witness(name)) for name in given.witnesses]
    except (OSError, UnreadableCheckpoint) as fault:
        print(fault, file=sys.stderr)
        return UNUSABLE
    findings = list(check_paper(content, witnesses))
    verdict = verdict_of(findings)
    print(_as_json(verdict, findings) if given.json else _in_words(verdict, findings))
    return EXIT[verdict]


def _witness(name: str) -> Witness:
    try:
        witness = Witness.read(Path(name).read_bytes())
        read_checkpoint(witness.checkpoint)
    except UnreadableCheckpoint as fault:
        why = sentence("{file} is no checkpoint: {why}", file=name, why=fault.why)
        raise UnreadableCheckpoint(why) from fault
    return witness


def _in_words(verdict: Verdict, findings: list[Finding]) -> str:
    lines: list[str] = [VERDICTS[verdict]]
    for standing, heading in HEADINGS.items():
        said = [finding for finding in findings if finding.standing == standing]
        if said:
            lines += ["", heading]
            lines += [f"- {finding.about}: {finding.says}" for finding in said]
    return "\n".join(lines)


def _as_json(verdict: Verdict, findings: list[Finding]) -> str:
    said = [
        {"about": finding.about, "standing": finding.standing, "says": str(finding.says)}
        for finding in findings
    ]
    return json.dumps({"verdict": verdict, "findings": said}, indent=2, ensure_ascii=False)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m reports.verification",
        description="Verify a paper from its file alone.",
        epilog="0: all that it carries holds; 1: something is broken; 2: a file cannot be read; "
        "3: nothing is broken, and it lacks what ties it to a journal.",
    )
    parser.add_argument("paper", help="the PDF")
    parser.add_argument(
        "witnesses",
        nargs="*",
        help="checkpoints that others kept: texts of them, or what letters to witnesses carry",
    )
    parser.add_argument("--json", action="store_true", help="for programs")
    return parser


if __name__ == "__main__":
    sys.exit(main())
