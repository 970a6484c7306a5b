"""The one error of the calculations."""


class UnusableInput(ValueError):
    """Input that a calculation cannot use.

    `pointer` is the JSON pointer (RFC 6901) of the field in the calculation's request, `detail`
    says what was wrong with it and what is allowed.
    """

    def __init__(self, pointer: str, detail: str) -> None:
        super().__init__(f"{pointer}: {detail}")
        self.pointer = pointer
        self.detail = detail
