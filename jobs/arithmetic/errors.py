"""The one error of the calculations, and how it points at a field."""


class UnusableInput(ValueError):
    """Input that a calculation cannot use.

    `pointer` is the JSON pointer (RFC 6901) of the field in the calculation's request, `detail`
    says what was wrong with it and what is allowed.
    """

    def __init__(self, pointer: str, detail: str) -> None:
        super().__init__(f"{pointer}: {detail}")
        self.pointer = pointer
        self.detail = detail


def pointer_to(*names: str) -> str:
    """The JSON pointer of a field, also where its names came with the request (RFC 6901, 3)."""
    return "".join("/" + name.replace("~", "~0").replace("/", "~1") for name in names)
