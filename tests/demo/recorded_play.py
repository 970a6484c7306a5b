"""Plays the demo and writes down every answer on its way, one line of JSON each.

python -m tests.demo.recorded_play <file>
"""

import json
import sys
import urllib.request
from http.client import HTTPResponse
from io import BytesIO
from pathlib import Path
from urllib.response import addinfourl

from fixtures_demo import play


class Recorder(urllib.request.BaseHandler):
    """Reads each answer before the demo's client does, which is given the same again."""

    handler_order = 100  # before the handler that raises what was refused

    def __init__(self, file: Path) -> None:
        self.file = file

    def http_response(self, request: urllib.request.Request, answer: HTTPResponse) -> addinfourl:
        content = answer.read()
        line = {
            "method": request.get_method(),
            "address": request.full_url,
            "status": answer.status,
            "headers": {name: answer.headers.get_all(name) for name in answer.headers},
            "content": content.decode("latin-1"),
        }
        with self.file.open("a") as lines:
            lines.write(json.dumps(line) + "\n")
        again = addinfourl(BytesIO(content), answer.headers, request.full_url, answer.status)
        again.msg = answer.reason  # type: ignore[attr-defined]
        return again


if __name__ == "__main__":
    urllib.request.install_opener(urllib.request.build_opener(Recorder(Path(sys.argv[1]))))
    play.main()
