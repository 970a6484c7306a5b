"""A phone that notes a scratch and sends it, over and over, until its battery dies.

    python -m tests.demo.killed_phone ADDRESS TOKEN INSTALLATION FILE

With `--last` it only sends what is left.
"""

import sys
from contextlib import suppress
from pathlib import Path

from fixtures_demo.client import Client
from fixtures_demo.queue import Phone, Store


def main() -> None:
    address, token, installation, file, *last = sys.argv[1:]
    client = Client(address)
    client.token = token
    phone = Phone(Store(Path(file), "fitter"), client)
    while not last:
        phone.add(
            "report_defect",
            installation=installation,
            severity="minor",
            description=f"Scratch {len(phone.store.all())}",
        )
        with suppress(OSError):
            phone.send()
    phone.send()


if __name__ == "__main__":
    main()
