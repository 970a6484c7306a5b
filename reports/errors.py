"""Why a message was not taken by whoever was to carry it."""


class DeliveryFailed(Exception):
    """`words` name no address. `final`: another try would end alike. `gone`: the receiver asks
    never to be called again."""

    def __init__(self, words: str, *, final: bool = False, gone: bool = False) -> None:
        super().__init__(words)
        self.words = words
        self.final = final
        self.gone = gone
