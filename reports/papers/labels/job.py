"""The record of a job put into words: what the paper shows beside the bare figures. Pure."""

from collections.abc import Iterable
from typing import Any

from jobs.code_labels import code_label
from jobs.figures import day, figure, hundredths


def instrument_name(instrument: dict[str, Any] | None) -> str:
    """`Tape, 8 m (T-0815)`; nothing where no instrument was used."""
    return f"{instrument['name']} ({instrument['serial']})" if instrument else ""


def instruments_in_words(instruments: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Instruments, each with its accuracy in words."""
    return [one | {"accuracy": accuracy_in_words(one)} for one in instruments]


def accuracy_in_words(instrument: dict[str, Any]) -> str:
    if instrument["accuracy_class"]:
        return f"class {instrument['accuracy_class']}, Directive 2014/32/EU Annex X"
    expanded, factor = instrument["expanded_uncertainty"], instrument["coverage_factor"]
    return f"± {hundredths(expanded)} mm (k = {figure(factor)})"


def where_in_words(told: dict[str, Any]) -> str:
    """The opening and, where one is named, the step."""
    step = f", step {told['step']}" if told["step"] else ""
    return f"opening {told['opening']}{step}"


def concessions_in_words(concessions: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """Concessions, each with the place that it was granted for."""
    return [one | {"where": where_in_words(one)} for one in concessions]


def defect_in_words(defect: dict[str, Any]) -> dict[str, str]:
    """A defect's life, and how it stands."""
    put_right = _done(defect["put_right_by"], defect["put_right_at"])
    unclosed = "put right, not inspected again" if put_right else "open"
    state = "✓ closed" if defect["closed_at"] else unclosed
    return {
        "where": where_in_words(defect),
        "found": _done(defect["found_by"], defect["found_at"]),
        "put_right": "; ".join(w for w in (defect["put_right_how"], put_right) if w),
        "reinspected": "; ".join(
            w
            for w in (
                _done(defect["reinspected_by"], defect["reinspected_at"]),
                defect["reinspection_note"],
            )
            if w
        ),
        "state": "accepted by concession" if defect["conceded"] else state,
    }


def _done(by: str | None, at: str | None) -> str:
    return f"{by}, {day(at)}" if by else ""


def keys_in_words(keys: list[dict[str, Any]]) -> str:
    """`3 for opening 1, 2 for opening 2`, in the order of the openings."""
    told = sorted((key["opening"], key["count"]) for key in keys)
    return ", ".join(f"{count} for opening {opening}" for opening, count in told)


def rule_in_words(rule: dict[str, Any]) -> dict[str, str]:
    """A rule with its limit and where it comes from; rows of a banded limit as `bound → limit`.

    `decided_by` is given where that is not the rule set of the job.
    """
    value = rule["value"]
    if isinstance(value, list):
        value = "; ".join(_row(row) for row in value)
    elif isinstance(value, int | float):
        value = f"{value:g}"
    source = f"{rule['source']} ({rule['standing']})" if rule["source"] else rule["standing"]
    if "decided_by" in rule:
        source += f"; by {rule['decided_by']}"
    return {
        "name": code_label(rule["name"]).replace(".", ": "),
        "limit": f"{value} {rule['unit']}",
        "source": source,
    }


def _row(row: Any) -> str:
    return " → ".join(f"{cell:g}" for cell in row) if isinstance(row, list) else str(row)


def each_once(told: Iterable[str]) -> list[str]:
    """Sentences in their order, none twice."""
    return list(dict.fromkeys(told))


def findings(doorsets: list[dict[str, Any]]) -> list[dict[str, str]]:
    """What the surveys found about the place, each once, with the opening it was found at."""
    found = {
        (doorset["opening"]["number"], finding["what"]): finding
        for doorset in doorsets
        for survey in doorset["surveys"]
        for finding in survey["findings"]
    }
    return [finding | {"where": f"opening {number}"} for (number, _), finding in found.items()]
