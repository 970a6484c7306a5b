"""Filling in the forms of the fitter's pages as a browser without a script does."""

from html.parser import HTMLParser
from typing import Any

from django.test import Client


class Form:
    """A form of a page: `fields` by name with what stands in them, `attributes` of its tag."""

    def __init__(self, attributes: dict[str, str]) -> None:
        self.attributes = attributes
        self.fields: dict[str, str] = {}
        self.sent: set[str] = set()
        self.sent_as: dict[str, str] = {}

    @property
    def operation(self) -> str:
        return self.attributes.get("data-operation", "")


class _Forms(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.found: list[Form] = []
        self.select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.found.append(Form(given))
        elif tag == "option" and "selected" in given:
            self.found[-1].fields[self.select] = given["value"]
        elif tag in ("input", "select", "textarea") and self.found and given.get("name"):
            form, name = self.found[-1], given["name"]
            self.select = name
            if given.get("type") not in ("radio", "checkbox") or "checked" in given:
                unnamed = "on" if given.get("type") == "checkbox" else ""
                form.fields[name] = given.get("value", unnamed)
            if "data-not-sent" not in given:
                form.sent.add(name)
            form.sent_as[name] = given.get("data-as", "")


def forms_of(client: Client, address: str) -> list[Form]:
    page = client.get(address)
    assert page.status_code == 200, page.status_code
    parser = _Forms()
    parser.feed(page.content.decode())
    return parser.found


def form_of(client: Client, address: str, operation: str, **fixed: str) -> Form:
    """The first form for this operation whose fields hold `fixed`."""
    return next(
        form
        for form in forms_of(client, address)
        if form.operation == operation
        and all(form.fields.get(name) == value for name, value in fixed.items())
    )


def fill_in(client: Client, address: str, form: Form, typed: dict[str, Any]) -> Any:
    """What the service answers to the form with `typed` in its fields, followed to where it leads;
    `typed` may name no field that the form does not have."""
    assert set(typed) <= set(form.sent_as), set(typed) - set(form.sent_as)
    return client.post(address, form.fields | typed, follow=True)


def record(client: Client, address: str, operation: str, **typed: Any) -> Any:
    """Open the page, fill in its form for this operation, send it."""
    named = {name.replace("__", "."): value for name, value in typed.items()}
    return fill_in(client, address, form_of(client, address, operation), named)
