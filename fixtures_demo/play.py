"""Plays the invented job of `scenario.toml` through the HTTP API, one client per role.

Run with `make demo`. Ends with 0 when every step went as the story tells it.
"""

import time
import tomllib
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from fixtures_demo import chapters, server, story
from fixtures_demo.client import Client

SCENARIO = Path(__file__).with_name("scenario.toml")


@dataclass
class Stage:
    """Who plays, with what, and what has come of it so far."""

    scenario: dict[str, Any]
    address: str
    folder: Path
    office: Client = field(init=False)
    surveyor: Client = field(init=False)
    fitter: Client = field(init=False)
    mate: Client = field(init=False)
    known: dict[str, Any] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.office, self.surveyor = Client(self.address), Client(self.address)
        self.fitter, self.mate = Client(self.address), Client(self.address)


def scenario() -> dict[str, Any]:
    """Who and what the invented story is about."""
    return tomllib.loads(SCENARIO.read_text(encoding="utf-8"))


def main() -> None:
    plot = scenario()
    env = server.environment(plot["firm"])
    folder = Path(env["SILLWRIGHT_DATA_DIR"])
    started = time.monotonic()
    print(f"Sillwright demo: {plot['firm']['name']}. Everything in it is invented.")
    server.make_ready(env)
    port = server.free_port()
    with server.running(env, port) as address:
        stage = Stage(plot, address, folder)
        for number, (title, play) in enumerate(chapters.ALL, start=1):
            story.chapter(number, len(chapters.ALL), title)
            play(stage)
    story.tell(server.manage(env, "verify_journal").strip())
    print(f"\nDone in {time.monotonic() - started:.0f} s.")
    for name, path in stage.known["papers"].items():
        print(f"  {name}: {path}")
    print(f'  see it in the browser: make serve, then sign in as "{server.OFFICE_NAME}"')
    print(f'  with the password "{server.OFFICE_PASSWORD}"')


if __name__ == "__main__":
    main()
