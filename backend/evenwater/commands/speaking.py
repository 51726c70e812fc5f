"""How commands speak: words for people or JSON for programs, what went wrong, how far long work has come."""

import argparse
import json
import signal
import sys
import threading
import time
from collections.abc import Callable
from typing import Any, NoReturn, TextIO

import msgspec

DONE, PROBLEM, USAGE, INTERRUPTED = 0, 1, 2, 130
"""What a command ends with."""

_BAR_WIDTH = 24
_SHOWN_EVERY_S = 0.1


class Stop(Exception):
    """Something the person who runs the server must see to; the text is one line that says what to do.

    `facts`: the same for a program, beside the line (`code`, `where`, `right` and the like).
    """

    def __init__(self, text: str, **facts: Any) -> None:
        super().__init__(text)
        self.facts = facts


class Parser(argparse.ArgumentParser):
    """Reads a command line; what it cannot understand it says in JSON where that was asked for."""

    def __init__(self, *arguments: Any, **options: Any) -> None:
        options.setdefault("formatter_class", argparse.RawDescriptionHelpFormatter)
        super().__init__(*arguments, **options)
        self.given: list[str] = []

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:  # pyright: ignore[reportIncompatibleMethodOverride]
        self.given = list(sys.argv[1:] if args is None else args)
        return super().parse_known_args(args, namespace)

    def error(self, message: str) -> NoReturn:
        if "--json" in self.given:
            right = f"{self.prog} --help"
            say_json({"problem": message, "code": "usage", "right": right})
            raise SystemExit(USAGE)
        super().error(message)


def say(asked: argparse.Namespace, text: str, record: Any) -> None:
    """What came of a command: the text, or with --json the record."""
    if asked.json:
        say_json(record)
    else:
        print(text, flush=True)


def say_json(record: Any) -> None:
    """One JSON document, on a line of its own."""
    text = msgspec.json.encode(record).decode()
    try:
        text.encode(sys.stdout.encoding or "utf-8")
    except UnicodeEncodeError:
        text = json.dumps(json.loads(text))  # every letter that is not ASCII in its escape
    print(text, flush=True)


def speak_plainly() -> None:
    """On a terminal or in a pipe of few letters a "°" becomes a "?", which is no reason to say nothing at all."""
    reconfigure = getattr(sys.stdout, "reconfigure", None)
    if reconfigure is not None:  # what stands in its place within a test or another program may have none
        reconfigure(errors="replace")


def say_stop(stop: Stop, *, as_json: bool) -> None:
    """What is in the way: a line among the errors, or with --json a document where a program looks for it."""
    if as_json:
        say_json({"problem": str(stop), **stop.facts})
    else:
        print(f"evenwater: {stop}", file=sys.stderr, flush=True)


def asked_for(prompt: str, ask: Callable[[str], str] = input) -> str:
    """What somebody types at a prompt.

    Raises:
        KeyboardInterrupt: they will not say: Ctrl-C, or the input's end.
    """
    here = threading.current_thread() is threading.main_thread()
    # An event loop takes Ctrl-C for itself, and would pass it on only when the line was typed.
    before = signal.signal(signal.SIGINT, signal.default_int_handler) if here else None
    try:
        return ask(prompt)
    except EOFError:
        raise KeyboardInterrupt from None
    finally:
        if here:
            signal.signal(signal.SIGINT, before)


class Progress:
    """A bar that shows how far long work has come, on a terminal; anywhere else it says nothing.

    Call it with what is done and how much of how much; leave the context and it is gone.
    """

    def __init__(self, out: TextIO | None = None) -> None:
        self._out = out or sys.stderr
        self._shows = self._out.isatty()
        self._shown_at = 0.0
        self._width = 0

    def __enter__(self) -> "Progress":
        return self

    def __exit__(self, *_: object) -> None:
        if self._width:
            self._draw("")

    def __call__(self, what: str, done: int, of: int) -> None:
        now = time.monotonic()
        if not self._shows or now - self._shown_at < _SHOWN_EVERY_S:
            return
        self._shown_at = now
        share = min(done / of, 1.0) if of else 1.0
        filled = round(share * _BAR_WIDTH)
        self._draw(f"{what} {'#' * filled}{'.' * (_BAR_WIDTH - filled)} {share:4.0%}")

    def _draw(self, line: str) -> None:
        self._out.write(f"\r{line.ljust(self._width)}\r")
        self._out.flush()
        self._width = len(line)


def counted(count: int, one: str, many: str | None = None) -> str:
    """A number with its noun: "1 entry", "1,204 entries"."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def size_text(size_bytes: int) -> str:
    """A size as people say it."""
    size = float(size_bytes)
    for unit in ("bytes", "kB", "MB"):
        if size < 1000:
            return f"{size:.0f} {unit}"
        size /= 1000
    return f"{size:.1f} GB"
