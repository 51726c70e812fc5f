"""Which way imports point, and what the domain may not touch: read from the syntax trees."""

import ast
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "backend" / "evenwater"
LAYERS = ("domain", "storage", "web", "delivery")
MAY_IMPORT = {
    "domain": {"domain"},
    "storage": {"domain", "storage"},
    "web": {"domain", "storage", "web", "delivery.render"},
    "delivery": {"domain", "storage", "delivery", "delivery.render"},
    "delivery.render": {"domain", "delivery.render"},
}
DOMAIN_LIBRARIES = {"msgspec", "numpy", "scipy", "dateutil"}
IMPURE_MODULES = {"os", "io", "sys", "time", "random", "secrets", "socket", "logging", "pathlib", "sqlite3", "asyncio"}
IMPURE_METHODS = {"now", "today", "utcnow"}
IMPURE_NAMES = {"open", "print", "input"}


def layer_of(parts: tuple[str, ...]) -> str:
    return "delivery.render" if parts[:2] == ("delivery", "render") else parts[0]


def files() -> list[Path]:
    return sorted(file for layer in LAYERS for file in (PACKAGE / layer).rglob("*.py"))


def imported(tree: ast.Module) -> list[str]:
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found += [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written whole, from the package down"
            found.append(node.module)
    return found


@pytest.mark.parametrize("file", files(), ids=lambda file: str(file.relative_to(PACKAGE)))
def test_imports_point_inward(file):
    layer = layer_of(file.relative_to(PACKAGE).parts)
    for name in imported(ast.parse(file.read_text(encoding="utf-8"))):
        if not name.startswith("evenwater."):
            continue
        inner = tuple(name.split(".")[1:])
        # settings.py is a plain record that every shell layer reads.
        assert layer_of(inner) in MAY_IMPORT[layer] or (inner == ("settings",) and layer != "domain"), name


@pytest.mark.parametrize("file", sorted((PACKAGE / "domain").rglob("*.py")), ids=lambda file: file.name)
def test_the_domain_touches_nothing_but_its_arguments(file):
    tree = ast.parse(file.read_text(encoding="utf-8"))
    for name in imported(tree):
        top = name.split(".")[0]
        assert top == "evenwater" or top in DOMAIN_LIBRARIES or top in sys.stdlib_module_names, name
        assert top not in IMPURE_MODULES, name
    for node in ast.walk(tree):
        assert not isinstance(node, ast.AsyncFunctionDef | ast.Global), f"line {node.lineno}"
        if isinstance(node, ast.Call):
            called = node.func
            assert not (isinstance(called, ast.Attribute) and called.attr in IMPURE_METHODS), f"line {node.lineno}"
            assert not (isinstance(called, ast.Name) and called.id in IMPURE_NAMES), f"line {node.lineno}"


@pytest.mark.parametrize("file", files(), ids=lambda file: str(file.relative_to(PACKAGE)))
def test_sql_stands_in_storage_alone(file):
    if file.relative_to(PACKAGE).parts[0] == "storage":
        return
    for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            assert node.func.attr not in {"execute", "executemany", "execute_fetchall", "executescript"}


def test_the_rules_notice_a_clock_in_the_domain():
    tree = ast.parse("from datetime import datetime\ndef f(): return datetime.now()")
    calls = [node for node in ast.walk(tree) if isinstance(node, ast.Call)]
    assert any(isinstance(call.func, ast.Attribute) and call.func.attr in IMPURE_METHODS for call in calls)


def test_no_file_is_two_rooms_in_one():
    long = {str(file): n for file in files() if (n := len(file.read_text(encoding="utf-8").splitlines())) > 400}
    assert long == {}
