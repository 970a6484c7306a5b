"""A small client of the HTTP API: one signed-in person in one role."""

import json
import urllib.error
import urllib.request
from dataclasses import dataclass
from typing import Any
from uuid import uuid4

JSON = "application/json"


class Refused(Exception):
    """The service said no; `problem` is its problem document."""

    def __init__(self, status: int, problem: dict[str, Any]) -> None:
        super().__init__(f"{status}: {problem.get('detail', problem)}")
        self.status = status
        self.problem = problem

    @property
    def pointers(self) -> list[str]:
        return [error["pointer"] for error in self.problem.get("errors", [])]


@dataclass(frozen=True)
class Answer:
    body: Any
    etag: str | None
    content: bytes


class Client:
    """Sends JSON, reads JSON, and keeps the token. Every record it creates gets its own UUID."""

    def __init__(self, address: str) -> None:
        self.address = address.rstrip("/")
        self.token = ""

    def sign_in(self, username: str, password: str, role: str) -> None:
        body = {"username": username, "password": password, "role": role}
        self.token = self.send("POST", "tokens/", body).body["token"]

    def create(self, kind: str, /, **body: Any) -> dict[str, Any]:
        """Create one record under an identity of our own."""
        return self.send("POST", f"{kind}/", {"id": str(uuid4()), **body}).body

    def read(self, path: str) -> dict[str, Any]:
        return self.send("GET", path).body

    def all_of(self, kind: str, /, **filters: str) -> list[dict[str, Any]]:
        """Every record of a list, page after page."""
        query = "&".join(f"{name}={value}" for name, value in filters.items())
        address: str | None = f"{self.address}/api/v1/{kind}/?page_size=200&{query}"
        records: list[dict[str, Any]] = []
        while address:
            page = self._open("GET", address, None, {}).body
            records += page["results"]
            address = page["next"]
        return records

    def change(self, path: str, /, **body: Any) -> dict[str, Any]:
        """Change a record from the version it has now."""
        return self.send("PATCH", path, body, self._if_match(path)).body

    def act(self, path: str, verb: str, /, **body: Any) -> dict[str, Any]:
        """Do something to a record from the version it has now, such as order a doorset."""
        return self.send("POST", f"{path}{verb}/", body, self._if_match(path)).body

    def download(self, path: str) -> bytes:
        return self.send("GET", path).content

    def upload(
        self, path: str, field: str, name: str, content: bytes, **more: str
    ) -> dict[str, Any]:
        """Send one file, and what is said of it, as multipart/form-data."""
        boundary = uuid4().hex
        head = "".join(
            f'--{boundary}\r\nContent-Disposition: form-data; name="{key}"\r\n\r\n{value}\r\n'
            for key, value in more.items()
        ) + (
            f'--{boundary}\r\nContent-Disposition: form-data; name="{field}"; filename="{name}"\r\n'
            "Content-Type: application/octet-stream\r\n\r\n"
        )
        data = head.encode() + content + f"\r\n--{boundary}--\r\n".encode()
        headers = {"Content-Type": f"multipart/form-data; boundary={boundary}"}
        return self._open("POST", f"{self.address}/api/v1/{path}", data, headers).body

    def send(
        self, method: str, path: str, body: Any = None, headers: dict[str, str] | None = None
    ) -> Answer:
        data = None if body is None else json.dumps(body).encode()
        return self._open(
            method,
            f"{self.address}/api/v1/{path}",
            data,
            {"Content-Type": JSON, **(headers or {})},
        )

    def _if_match(self, path: str) -> dict[str, str]:
        etag = self.send("GET", path).etag
        return {"If-Match": etag} if etag else {}

    def _open(
        self, method: str, address: str, data: bytes | None, headers: dict[str, str]
    ) -> Answer:
        request = urllib.request.Request(address, data=data, method=method, headers=headers)
        if self.token:
            request.add_header("Authorization", f"Token {self.token}")
        try:
            with urllib.request.urlopen(request, timeout=60) as response:
                content = response.read()
                is_json = JSON in response.headers.get("Content-Type", "")
                return Answer(
                    json.loads(content) if is_json else None, response.headers.get("ETag"), content
                )
        except urllib.error.HTTPError as error:
            raise Refused(error.code, self._problem(error)) from None

    def _problem(self, error: urllib.error.HTTPError) -> dict[str, Any]:
        text = error.read().decode(errors="replace")
        try:
            return json.loads(text)
        except ValueError:
            return {"detail": text[:300]}
