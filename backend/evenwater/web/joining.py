"""Joins the app's modules into two scripts as it is served, and its style sheets into one beside each.

The files stay what a person reads; what a phone loads is one of each, and later another, because forty small files cost
a slow phone more than their content does. This is no translator: a module becomes a function that runs once, after
those it imports, in a scope of its own and in its own words. Only the forms of `import` and `export` that our files use
are known; any other is an error when the server starts, not a surprise at the pond.
"""

import posixpath
import re
from collections.abc import Mapping

_IMPORT = re.compile(r'^import\s*(?:\{([^}]*)\}|(\w+))\s*from\s*"(\.[^"]+)";?[ \t]*\n?', re.MULTILINE)
_IMPORT_IN_LINE = re.compile(r'(?<![\w.])import\{([^}]*)\}from"(\.[^"]+)";')
_EXPORTED = re.compile(r"^export (?=(?:async )?(?:function\*?|const|class) (\w+))", re.MULTILINE)
_EXPORT_LIST = re.compile(r"(?<![\w.])export\s*\{([^}]*)\};?")
_EXPORT_DEFAULT = re.compile(r"(?<![\w.])export\s+default\s*(?=function\b)")
_LEFT_OVER = re.compile(r"^(?:import|export)\b.*|^[ \t]*from[ \t]*\".*|\bimport\(.*|\bimport\.meta", re.MULTILINE)
_COMMENT = re.compile(r"/\*(?:(?!\*/)[\s\S])*\*/")
_SHEET = re.compile(r'[ \t]*<link rel="stylesheet" href="(/[^"]+)">\n?')
_LATER_SHEET = re.compile(r'[ \t]*<link rel="stylesheet" href="(/[^"]+)" data-later>\n?')


class NotJoinable(Exception):
    """A form of import or export that is not known here, imports in a ring, or of what is not there."""


def joined_modules(sources: Mapping[str, str], start: str, after: str | None = None) -> str:
    """One script that does what the module `start` does with all it imports.

    Args:
        sources: Each module's text by its path ("/pages/round/round.js").
        start: Where the page begins.
        after: Where the script begins that runs on the page already: what that one holds is not sent again.

    The script exports `modules`, what each module exports by its path, for whoever wants to look inside.

    Raises:
        NotJoinable: it would not do the same.
    """
    order: list[str] = []
    if after is not None:
        _visit(sources, after, (), order)
    there = len(order)
    _visit(sources, start, (), order)
    given: dict[str, set[str]] = {}
    parts = [f'modules["{path}"] = (() => {{\n{_as_function(path, sources[path], given)}}})();\n' for path in order]
    head = "export const modules = {};\n" if after is None else f'import {{ modules }} from "{after}";\n'
    return head + "".join(parts[there:])


def joined_sheets(shell: str, path: str) -> tuple[str, list[str], list[str]]:
    """(the shell with one link, to `path`, for all its sheets of the screen; those sheets, in their order; those that
    come with the later script, which are not linked)."""
    sheets, later = _SHEET.findall(shell), _LATER_SHEET.findall(shell)
    links = iter([f'  <link rel="stylesheet" href="{path}">\n'])
    return _SHEET.sub(lambda _: next(links, ""), _LATER_SHEET.sub("", shell)), sheets, later


def _imports(path: str, source: str) -> list[str]:
    named = [found[3] for found in _IMPORT.finditer(source)] + [found[2] for found in _IMPORT_IN_LINE.finditer(source)]
    return [_from(path, one) for one in named]


def _from(path: str, named: str) -> str:
    return posixpath.normpath(posixpath.join(posixpath.dirname(path), named))


def _visit(sources: Mapping[str, str], path: str, above: tuple[str, ...], order: list[str]) -> None:
    if path in above:
        raise NotJoinable(f"imports go round: {' → '.join([*above[above.index(path) :], path])}")
    if path in order:
        return
    if path not in sources:
        raise NotJoinable(f"{above[-1] if above else 'the page'} imports {path}, which is not there")
    for one in _imports(path, sources[path]):
        _visit(sources, one, (*above, path), order)
    order.append(path)


def _as_function(path: str, source: str, given: dict[str, set[str]]) -> str:
    """The module as the body of a function. `given`, what each module before it exports, gets what this one does."""
    gives: dict[str, str] = {}

    def take(listed: str, named: str) -> str:
        of, names = _from(path, named), _named(listed)
        for name in names:
            if name not in given[of]:
                raise NotJoinable(f"{path} imports {name}, which {of} does not export")
        return f'const {{ {_fields(names)} }} = modules["{of}"];'

    def give(name: str, own: str) -> str:
        gives[name] = own
        return ""

    def give_all(found: re.Match[str]) -> str:
        gives.update({outside: own for own, outside in _named(found[1]).items()})
        return ""

    source = _IMPORT.sub(lambda found: take(found[1] or f"default as {found[2]}", found[3]) + "\n", source)
    source = _IMPORT_IN_LINE.sub(lambda found: take(found[1], found[2]), source)
    source = _EXPORTED.sub(lambda found: give(found[1], found[1]), source)
    source = _EXPORT_LIST.sub(give_all, source)
    source = _EXPORT_DEFAULT.sub(lambda _: give("default", "$default") + "const $default = ", source)
    left = _LEFT_OVER.search(_COMMENT.sub("", source))
    if left:
        raise NotJoinable(f"{path}: cannot join {left[0].strip()!r}")
    given[path] = set(gives)
    return f"{source.rstrip()}\nreturn {{ {_fields(gives)} }};\n"


def _named(listed: str) -> dict[str, str]:
    """ "a, b as c" as {"a": "a", "b": "c"}."""
    names = [one.split(" as ") for one in map(str.strip, listed.split(",")) if one]
    return {one[0]: one[-1] for one in names}


def _fields(names: Mapping[str, str]) -> str:
    """What stands between the braces, of an object as of a pattern."""
    return ", ".join(key if key == value else f"{key}: {value}" for key, value in names.items())
