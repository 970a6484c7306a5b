"""Shows what the demo has played in the browser. Run with `make serve`."""

import os
from pathlib import Path

from fixtures_demo import play, server

PORT = 8000


def main() -> None:
    env = server.environment(play.scenario()["firm"])
    database = Path(env["SILLWRIGHT_DATA_DIR"]) / "sillwright.sqlite3"
    if "DATABASE_URL" not in env and not database.exists():
        play.main()
    server.manage(env, "migrate", "--verbosity", "0")
    print(f"Sillwright is at http://127.0.0.1:{PORT}/ (Ctrl-C ends it).")
    print(f'Sign in as "{server.OFFICE_NAME}" with the password "{server.OFFICE_PASSWORD}".')
    command = server.web_command(PORT)
    os.execve(command[0], command, env)


if __name__ == "__main__":
    main()
