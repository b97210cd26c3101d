"""What a module takes from the package, by importing it or through a room that it imported (`ask.bench.bench_now`)."""

from __future__ import annotations

import ast
from collections.abc import Iterator


def rooms_imported(tree: ast.AST) -> dict[str, str]:
    """Names that stand for packages or modules of claybench in a module, with what they stand for."""
    return {
        alias.asname or alias.name: f"{node.module}.{alias.name}"
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and (node.module or "").partition(".")[0] == "claybench"
        for alias in node.names
    }


def names_taken(node: ast.AST, rooms: dict[str, str]) -> Iterator[tuple[str, str]]:
    """Module and name of what one node takes: several of an import, one of a dotted name, none of another node."""
    if isinstance(node, ast.ImportFrom) and node.module is not None:
        yield from ((node.module, alias.name) for alias in node.names)
    elif isinstance(node, ast.Attribute):
        parts: list[str] = []
        value: ast.expr = node.value
        while isinstance(value, ast.Attribute):
            parts.insert(0, value.attr)
            value = value.value
        if isinstance(value, ast.Name) and value.id in rooms:
            yield ".".join([rooms[value.id], *parts]), node.attr
