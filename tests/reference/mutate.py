"""Moves each constant of the water's formulas by 1 % and asks whether any check notices.

    python tests/reference/mutate.py [part of a file name ...]

Works on a copy; the project itself is not touched. Prints each constant that nothing noticed, and apart from them those
that are said to be common practice or our own, which nothing outside can check. Ends with 1 if a sourced one
survived. Slow: each constant is a run of the checks, so name the files that matter.
"""

import ast
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

HOME = Path(__file__).resolve().parents[2]
DOMAIN = Path("backend/evenwater/domain")
# The examples in docstrings are our own numbers: that they notice a move is no evidence.
CHECKS = ("tests/reference", "tests/domain", "--ignore=tests/domain/test_docstrings.py")
MOVED = 1.01
# Powers of ten, halves, charges and counts: these are algebra, not sources.
ALGEBRA = {0.0, 0.5, 1.0, 2.0, 3.0, 4.0, 8.0, 10.0, 60.0, 100.0, 1000.0, 1e6}
UNSOURCED = ("ommon practice", "ur own")


@dataclass(frozen=True)
class Constant:
    """A number in the source, where it stands, and whether anything outside can be expected to hold it."""

    path: Path
    node: ast.Constant
    line: str
    sourced: bool

    def __str__(self) -> str:
        return f"{self.path.relative_to(DOMAIN)}:{self.node.lineno}  {self.node.value!r}  {self.line.strip()[:80]}"

    def moved_in(self, text: str) -> str:
        """The source with this one number 1 % higher. Columns count bytes."""
        lines = text.splitlines(keepends=True)
        line = lines[self.node.lineno - 1].encode()
        number = repr(float(self.node.value) * MOVED).encode()  # type: ignore[arg-type]
        changed = line[: self.node.col_offset] + number + line[self.node.end_col_offset :]
        lines[self.node.lineno - 1] = changed.decode()
        return "".join(lines)


def constants(path: Path) -> Iterator[Constant]:
    """Floats of one module, without algebra and without the edges of ranges."""
    text = (HOME / path).read_text(encoding="utf-8")
    lines = text.splitlines()
    body = ast.parse(text).body
    for place, statement in enumerate(body):
        if is_range(statement):
            continue
        said = words_about(body, place, lines)
        edges = {id(node) for call in ast.walk(statement) if is_guard(call) for node in ast.walk(call)}
        for node in ast.walk(statement):
            if (
                id(node) not in edges
                and isinstance(node, ast.Constant)
                and isinstance(node.value, float)
                and node.value not in ALGEBRA
            ):
                sourced = not any(word in said for word in UNSOURCED)
                yield Constant(path, node, lines[node.lineno - 1], sourced)


def is_range(statement: ast.stmt) -> bool:
    """Whether it sets the two edges of what a formula takes; tests of refusals hold those."""
    value = statement.value if isinstance(statement, ast.AnnAssign | ast.Assign) else None
    return isinstance(value, ast.Tuple) and len(value.elts) == 2 and all(map(is_number, value.elts))


def is_guard(node: ast.AST) -> bool:
    """Whether it refuses what lies outside a range."""
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "require_between"


def is_number(node: ast.expr) -> bool:
    return isinstance(node.operand if isinstance(node, ast.UnaryOp) else node, ast.Constant)


def words_about(body: list[ast.stmt], place: int, lines: list[str]) -> str:
    """What is said of a constant: the comment above its block, and the text under it. Functions are not asked."""
    statement = body[place]
    if not isinstance(statement, ast.AnnAssign | ast.Assign):
        return ""
    first = statement.lineno - 1
    while first > 0 and lines[first - 1].strip() and not lines[first - 1].rstrip().endswith('"""'):
        first -= 1
    after = body[place + 1] if place + 1 < len(body) else statement
    last = after.end_lineno if isinstance(after, ast.Expr) else statement.end_lineno
    return "\n".join(lines[first:last])


def notices(copy: Path) -> str:
    """The first check that fails in the copy, or nothing."""
    ran = subprocess.run(
        [sys.executable, "-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", *CHECKS],
        cwd=copy,
        env=os.environ | {"PYTHONPATH": str(copy / "backend"), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    failed = [line for line in ran.stdout.splitlines() if line.startswith(("FAILED", "ERROR"))]
    return (failed or ["a run that did not end well"])[0] if ran.returncode else ""


def survivors(copy: Path, found: list[Constant]) -> list[Constant]:
    """Those whose move nothing noticed."""
    left: list[Constant] = []
    for one in found:
        original = (HOME / one.path).read_text(encoding="utf-8")
        (copy / one.path).write_text(one.moved_in(original), encoding="utf-8")
        seen = notices(copy)
        (copy / one.path).write_text(original, encoding="utf-8")
        print("noticed " if seen else "SURVIVED", one, flush=True)
        left += [] if seen else [one]
    return left


def main(wanted: list[str]) -> int:
    paths = [DOMAIN / "units.py", *sorted(one.relative_to(HOME) for one in (HOME / DOMAIN / "water").glob("*.py"))]
    found = [
        one for path in paths for one in constants(path) if not wanted or any(word in path.name for word in wanted)
    ]
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder)
        for part in ("backend", "tests", "frontend", "seed_scenario"):
            shutil.copytree(HOME / part, copy / part, ignore=shutil.ignore_patterns("__pycache__"))
        for part in ("pyproject.toml", "README.md", "DEVELOPERS.md"):
            shutil.copy(HOME / part, copy)
        if broken := notices(copy):
            print("the checks fail as they are:", broken)
            return 2
        left = survivors(copy, found)
    sourced = [one for one in left if one.sourced]
    print(f"\n{len(found)} constants moved, {len(found) - len(left)} noticed")
    print(f"\n{len(sourced)} with a source, noticed by nothing:", *sourced, sep="\n  ")
    print("\ncommon practice or our own, noticed by nothing:", *(one for one in left if not one.sourced), sep="\n  ")
    return 1 if sourced else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
