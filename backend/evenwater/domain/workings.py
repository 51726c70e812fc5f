"""The steps, inputs and source behind a number, ready to be shown to whoever asks how it came about."""

from msgspec import Struct, field


class Given(Struct, frozen=True):
    """One number or word that went in. `origin` says where it comes from: "given", "learned from the log" …"""

    name: str
    value: float | str
    unit: str
    origin: str = field(name="from", default="given")


class Step(Struct, frozen=True):
    """One line of the reckoning: the equation in words, and what it came to, with its unit."""

    text: str
    value: str


class Workings(Struct, frozen=True, kw_only=True):
    """A whole reckoning. `warnings` are for the person about to act on the result."""

    title: str
    inputs: tuple[Given, ...]
    steps: tuple[Step, ...]
    result: str
    source: str
    warnings: tuple[str, ...] = ()
