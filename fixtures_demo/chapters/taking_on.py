"""Customer, site, job, openings, people, crews and the survey visit."""

from datetime import UTC, datetime, timedelta
from typing import Any

from fixtures_demo import server
from fixtures_demo.client import Client, Refused
from fixtures_demo.story import tell


def play(stage: Any) -> None:
    office, scenario, known = stage.office, stage.scenario, stage.known
    office.sign_in(server.OFFICE_NAME, server.OFFICE_PASSWORD, "office")
    _add_people(stage)
    customer = office.create("customers", **scenario["customer"])
    site = office.create("sites", **scenario["site"])
    known["job"] = office.create(
        "jobs", customer=customer["id"], site=site["id"], **scenario["job"]
    )
    known["reference"] = known["job"]["reference"]
    known["openings"] = {
        key: office.create(
            "openings", job=known["job"]["id"], name=opening["name"], **opening["case"]
        )
        for key, opening in scenario["openings"].items()
    }
    tell(f"Job {known['reference']}: {scenario['job']['title']}, for {customer['name']}.")
    _book_survey(stage)


def _add_people(stage: Any) -> None:
    office, known = stage.office, stage.known
    people = {}
    for person in stage.scenario["people"]:
        body = {name: value for name, value in person.items() if name != "plays"}
        people[person["username"]] = office.send("POST", "people/", body).body
        client: Client = getattr(stage, person["plays"])
        client.sign_in(person["username"], person["password"], person["roles"][0])
    known["survey_crew"] = office.create("crews", name="Survey", members=[people["surveyor"]["id"]])
    fitters = [people["fitter"]["id"], people["second-fitter"]["id"]]
    known["fitting_crew"] = office.create("crews", name="Fitting one", members=fitters)
    later = (datetime.now(tz=UTC) + timedelta(days=300)).date().isoformat()
    known["instruments"] = {
        instrument["serial"]: office.create("instruments", **instrument, calibration_due=later)
        for instrument in stage.scenario["instruments"]
    }


def visit_body(stage: Any, kind: str, hours: int) -> dict[str, Any]:
    """A visit that is about to start: what takes a firm weeks is played on one day, and records are
    dated within their visits."""
    start = datetime.now(tz=UTC).replace(second=0, microsecond=0) + timedelta(minutes=2)
    crew = stage.known["survey_crew" if kind == "survey" else "fitting_crew"]
    return {
        "job": stage.known["job"]["id"],
        "kind": kind,
        "crew": crew["id"],
        "start": start.isoformat(),
        "end": (start + timedelta(hours=hours)).isoformat(),
    }


def _book_survey(stage: Any) -> None:
    body = visit_body(stage, "survey", hours=2)
    stage.known["survey_visit"] = stage.office.create("visits", **body)
    try:
        stage.office.create("visits", **body)
    except Refused as refusal:
        tell(f"A second booking of the same crew is refused: {refusal.problem['detail']}.")
    else:
        raise SystemExit("A crew was booked twice.")
