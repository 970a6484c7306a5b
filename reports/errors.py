"""Why a mail server or a receiver did not accept a message."""


class DeliveryFailed(Exception):
    """`reason` names no address. `final`: another attempt would fail too. `gone`: the receiver asks
    never to be called again."""

    def __init__(self, reason: str, *, final: bool = False, gone: bool = False) -> None:
        super().__init__(reason)
        self.reason = reason
        self.final = final
        self.gone = gone
