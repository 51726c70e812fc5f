"""Figures over several rounds, and the table that holds them against their limits.

A figure is its median over the rounds, with the lowest and the highest beside it, and the median alone is judged. A
ratio is taken within each round, where both sides met the same machine in the same minute.
"""

import statistics
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field


@dataclass
class Gate:
    """One line of the table. `limit` is None for a figure that is only told, with nothing to meet."""

    number: int
    what: str
    rounds: Sequence[float]
    unit: str
    limit: float | None = None
    at_least: bool = False
    digits: int = 2

    @property
    def figure(self) -> float:
        return statistics.median(self.rounds)

    @property
    def verdict(self) -> str:
        if self.limit is None:
            return ""
        if not self.rounds:
            return "not measured"
        met = self.figure >= self.limit if self.at_least else self.figure <= self.limit
        return "met" if met else "MISSED"

    def cells(self) -> tuple[str, ...]:
        limit = "" if self.limit is None else f"{'≥' if self.at_least else '≤'} {self.limit:g} {self.unit}".strip()
        if not self.rounds:
            return str(self.number), self.what, "–", "", limit, self.verdict
        shown = f"{self._plain(self.figure)} {self.unit}".strip()
        spread = f"{self._plain(min(self.rounds))} to {self._plain(max(self.rounds))}"
        return str(self.number), self.what, shown, spread, limit, self.verdict

    def _plain(self, value: float) -> str:
        return f"{value:,.{self.digits}f}"


@dataclass
class Report:
    """What was measured, and what should be known about how."""

    gates: list[Gate] = field(default_factory=list)
    remarks: list[str] = field(default_factory=list)

    def add(self, number: int, what: str, rounds: Sequence[float], unit: str, **limits: float | bool) -> None:
        self.gates.append(Gate(number, what, list(rounds), unit, **limits))  # type: ignore[arg-type]

    def remark(self, text: str) -> None:
        self.remarks.append(text)

    def show(self, say: Callable[[str], None] = print) -> None:
        head = ("gate", "what", "median", "rounds", "limit", "")
        rows = [head, *(gate.cells() for gate in self.gates)]
        widths = [max(len(row[n]) for row in rows) for n in range(len(head))]
        for row in rows:
            say("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())
        for remark in self.remarks:
            say(f"· {remark}")

    @property
    def all_met(self) -> bool:
        return all(gate.verdict in ("", "met") for gate in self.gates)


def ratios(over: Sequence[float], under: Sequence[float]) -> list[float]:
    """Round by round, one divided by the other."""
    return [a / b for a, b in zip(over, under, strict=True)]


def percentile(values: Sequence[float], percent: float) -> float:
    """The value that `percent` [%] of the values do not exceed (nearest rank)."""
    ranked = sorted(values)
    return ranked[max(0, -(-len(ranked) * int(percent) // 100) - 1)]
