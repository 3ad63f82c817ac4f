"""The house is as DEVELOPERS.md tells it: rooms know those above them, and a name means one thing."""

from __future__ import annotations

import ast
from collections import Counter, defaultdict
from collections.abc import Iterator
from pathlib import Path

import sitegen

ROOT = Path(sitegen.__file__).parent
ROOMS = (
    ("problems", "progress", "parallel", "cache", "statuses"),
    ("tokenizer", "yaml_nodes", "folders"),
    ("names",),
    ("settings",),
    ("puzzles",),
    ("moves",),
    ("effects",),
    ("search", "figures"),
    ("methods",),
    ("reports", "pages"),
    ("blocks",),
    ("guide",),
    ("site", "editor"),
    ("preview",),
    ("commands",),
    ("cli",),
    ("begin",),
)
"""From the first in the way of the data to the last; those side by side know nothing of each other."""
FACES = {
    "parse": "blocks",
    "check": "blocks",
    "show": "blocks",
    "read": "effects/claims",
    "write": "moves",
}
"""What each kind of block, of claim and of notation has under one name, since it is one thing for all."""


def modules() -> Iterator[tuple[str, ast.Module]]:
    for path in sorted(ROOT.rglob("*.py")):
        yield (
            path.relative_to(ROOT).as_posix().removesuffix(".py"),
            ast.parse(path.read_text(encoding="utf-8")),
        )


def imported(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            yield from (f"{node.module}.{name.name}" for name in node.names)
        elif isinstance(node, ast.Import):
            yield from (name.name for name in node.names)


def test_every_room_knows_only_those_before_it() -> None:
    floor = {room: number for number, side_by_side in enumerate(ROOMS) for room in side_by_side}
    seen = set()
    for name, tree in modules():
        here = name.split("/")[0]
        for other in imported(tree):
            there = other.removeprefix("sitegen.").split(".")[0]
            if other.startswith("sitegen.") and there in floor and here in floor and there != here:
                assert floor[there] < floor[here], f"{name} imports {other}"
                seen.add((here, there))
    assert len(seen) > 40
    assert {name.split("/")[0] for name, _ in modules()} == {*floor, "__init__"}


def test_no_module_comes_back_to_itself_by_what_it_imports() -> None:
    known = {f"sitegen.{name.replace('/', '.')}".removesuffix(".__init__"): tree for name, tree in modules()}
    after = {
        name: {
            next((each for each in (other, other.rpartition(".")[0]) if each in known), "")
            for other in imported(tree)
        }
        for name, tree in known.items()
    }
    done: set[str] = set()

    def visit(name: str, way: tuple[str, ...]) -> None:
        assert name not in way, f"in a circle: {' > '.join((*way, name))}"
        if name not in done:
            for other in after[name] - {"", name}:
                visit(other, (*way, name))
            done.add(name)

    for name in known:
        visit(name, ())
    assert len(done) > 150


def test_a_public_name_means_one_thing() -> None:
    where = defaultdict(list)
    for name, tree in modules():
        for node in tree.body:
            if isinstance(node, ast.ClassDef | ast.FunctionDef) and not node.name.startswith("_"):
                where[node.name].append(name)
    several = {
        name: places
        for name, found in where.items()
        # Commands are called as what they call.
        if len(places := [p for p in found if not p.startswith((FACES.get(name, "-"), "commands/"))]) > 1
    }
    assert several == {}
    assert len(where) > 600


def test_no_two_files_have_one_name() -> None:
    names = Counter(path.name for path in ROOT.rglob("*.py") if path.name != "__init__.py")
    assert [name for name, count in names.items() if count > 1] == []
