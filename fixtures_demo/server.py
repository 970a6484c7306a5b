"""Starting the service for the demo: a database of its own, and a web server on a free port."""

import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

PROJECT_DIR = Path(__file__).resolve().parent.parent
OFFICE_NAME, OFFICE_PASSWORD = "office", "kettle-on-before-eight"
START_SECONDS = 40


def environment(firm: dict[str, str]) -> dict[str, str]:
    """The environment of every process of the demo; what the caller has set goes before."""
    folder = os.environ.get("SILLWRIGHT_DATA_DIR", str(PROJECT_DIR / "var" / "demo"))
    own = {
        "SILLWRIGHT_DATA_DIR": folder,
        "DJANGO_SETTINGS_MODULE": "config.settings",
        "PUBLIC_ADDRESS": "http://127.0.0.1:8000",
        "FIRM_NAME": firm["name"],
        "FIRM_ADDRESS": firm["address"],
        "FIRM_EMAIL": firm["email"],
        "FIRM_TELEPHONE": firm["telephone"],
        "NEW_PASSWORD": OFFICE_PASSWORD,
        "LOG_LEVEL": "ERROR",
    }
    return own | dict(os.environ) | {"SILLWRIGHT_DATA_DIR": folder}


def make_ready(env: dict[str, str]) -> None:
    """An empty database with rule sets and the first person, who adds the others."""
    folder = Path(env["SILLWRIGHT_DATA_DIR"])
    if "DATABASE_URL" not in env and "SILLWRIGHT_DATA_DIR" not in os.environ:
        # Only the demo's own folder is emptied, never one that somebody named.
        shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True, exist_ok=True)
    _finished(env, "-m", "fixtures_demo.first_records")


def manage(env: dict[str, str], *arguments: str) -> str:
    """Run one command of manage.py; raises with what it said when it fails."""
    return _finished(env, "manage.py", *arguments)


def _finished(env: dict[str, str], *arguments: str) -> str:
    done = subprocess.run(
        [sys.executable, *arguments],
        env=env,
        cwd=PROJECT_DIR,
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise SystemExit(f"python {' '.join(arguments)} failed:\n{done.stdout}{done.stderr}")
    return done.stdout


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def web_command(port: int) -> list[str]:
    """The web server on this machine's own address; threads are enough for SQLite."""
    command = [sys.executable, "-m", "gunicorn", "config.wsgi", "--threads", "4"]
    command += ["--bind", f"127.0.0.1:{port}", "--log-level", "warning", "--timeout", "120"]
    return [*command, "--no-control-socket"]


@contextmanager
def running(env: dict[str, str], port: int) -> Iterator[str]:
    """The web server, for as long as the story is played; with a broker, a worker beside it."""
    address = f"http://127.0.0.1:{port}"
    with ExitStack() as stack:
        server = stack.enter_context(_process(web_command(port), env))
        if env.get("CELERY_BROKER_URL") or env.get("REDIS_URL"):
            stack.enter_context(_process(_worker_command(env), env))
        _wait_for(address, server)
        yield address


def _worker_command(env: dict[str, str]) -> list[str]:
    folder = Path(env["SILLWRIGHT_DATA_DIR"])
    command = [sys.executable, "-m", "celery", "--quiet", "-A", "config", "worker", "--beat"]
    command += ["--concurrency", "2", "--loglevel", "INFO"]
    return [*command, "--schedule", str(folder / "beat"), "--logfile", str(folder / "worker.log")]


@contextmanager
def _process(command: list[str], env: dict[str, str]) -> Iterator["subprocess.Popen[bytes]"]:
    process = subprocess.Popen(command, env=env, cwd=PROJECT_DIR)
    try:
        yield process
    finally:
        process.terminate()
        process.wait(timeout=30)


def _wait_for(address: str, server: "subprocess.Popen[bytes]") -> None:
    until = time.monotonic() + START_SECONDS
    while time.monotonic() < until:
        if server.poll() is not None:
            raise SystemExit("The web server of the demo did not start.")
        try:
            urllib.request.urlopen(f"{address}/api/v1/rule-sets/", timeout=5)
        except urllib.error.HTTPError:
            return  # It answers (that nobody is signed in), so it is up.
        except OSError:
            time.sleep(0.2)
    raise SystemExit(f"The web server of the demo did not answer within {START_SECONDS} s.")
