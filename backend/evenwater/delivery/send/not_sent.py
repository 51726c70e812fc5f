"""What a carrier is, and the one way in which it says that a message did not go out."""

from collections.abc import Awaitable, Callable

from evenwater.domain.messages import Message

# Hands one message to whoever takes it from here; returns once they have taken it. Each way to people has one.
Carrier = Callable[[Message], Awaitable[None]]


class NotSent(Exception):
    """The message was not taken.

    `why`: one plain sentence that the app may show, without a secret in it. `for_good`: trying again is of no use.
    `again_after_s`: how long the other side asks us to wait [s], if it said so.
    """

    def __init__(self, why: str, *, for_good: bool = False, again_after_s: float | None = None) -> None:
        super().__init__(why)
        self.why = why
        self.for_good = for_good
        self.again_after_s = again_after_s
