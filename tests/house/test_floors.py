"""The floors of the house: imports go down, one door per heavy library, nouns only across walls.

Every import counts: at the top of a module, inside a function, under TYPE_CHECKING. Each rule has a planted fault below,
in a small house of its own, so that a rule that went blind is noticed.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from fnmatch import fnmatch
from pathlib import Path
from typing import NamedTuple

import pytest

PACKAGE = Path(__file__).resolve().parents[2] / "booklet"

# From the roof down. Rooms on one line are neighbours: they do not know each other.
FLOORS = (
    "__main__",
    "cli preview batch",
    "production",
    "listing",
    "pipeline",
    "translation illustration fitting",
    "outputs reports press",
    "pages catalogues",
    "drawings kits",
    "figures",
    "graph",
    "notation",
    "pattern",
    "source",
    "editions",
    "tables",
    "diagnostics",
    "resources units addresses digits stress wide dated",
)
FLOOR = {room: -number for number, rooms in enumerate(FLOORS) for room in rooms.split()}

# Done once for all editions: knows no language of an edition, no paper, no layout.
NEUTRAL = {"source", "pattern", "notation", "graph", "figures", "kits", "drawings"}

# Data climbs through these rooms. Their nouns go everywhere above, their verbs are called by pipeline alone.
# notation.write and its names for stitches are the one verb for many rooms: checks mend with it, pages print with it.
NOUNS = {
    "source": ["tree"],
    "pattern": ["model"],
    "notation": ["tree", "write"],
    "graph": ["graph"],
    "figures": ["figures"],
    "drawings": ["drawing"],
    "kits": ["kit"],
    "pages": ["book"],
    "outputs": [],
}

# A heavy library, and the modules that may import it; "lazily" is inside a function, so that `check` never pays for it.
# These may call the stages: the pipeline, its parts that are about translators and about drawings, and what makes files of them.
CALLERS = ("pipeline", "translation", "illustration", "fitting", "listing", "production")

CHECKS_SHARE = ("subject", "_*")  # what checks are given, and tools for them; apart from these a check leans on no other

LAZY = True
DOORS = {
    "weasyprint": ("outputs.pdf*", LAZY),
    "pydyf": ("outputs.pdf*", LAZY),
    "pikepdf": ("outputs.pdf* press.*", LAZY),
    "fontTools": ("outputs.pdf* press.*", LAZY),
    "pypdfium2": ("outputs.pdf* press.*", LAZY),
    "svgwrite": ("outputs.svg*", LAZY),
    "markdown": ("outputs.html*", LAZY),
    "jinja2": ("outputs.html*", LAZY),
    "markupsafe": ("outputs.html*", LAZY),
    "PIL": ("outputs.pictures* press.*", LAZY),
    "babel": ("tables.* editions.* pages.* catalogues.*", LAZY),
    "polib": ("catalogues.*", LAZY),
    "xlsxwriter": ("catalogues.* outputs.workbook*", LAZY),
    "openpyxl": ("catalogues.* outputs.workbook*", LAZY),
    "segno": ("outputs.codes*", LAZY),
    "barcode": ("outputs.codes*", LAZY),
    "numpy": ("figures.*", LAZY),
    "scipy": ("figures.*", LAZY),
    "click": ("cli cli.* __main__", not LAZY),
    "yaml": ("source.* tables.* editions.*", not LAZY),
}

NOT_PACKAGES = {"layouts", "fonts", "shared", "tests", "examples"}


class Import(NamedTuple):
    """One import: who, what, where in the file, and whether it runs when the module is loaded."""

    module: str  # of ours, without "booklet."; "" is the package's root
    line: int
    names: tuple[str, ...]  # possible full names: of `from a.b import c` both a.b.c and a.b
    at_load: bool


def imports(package: Path) -> Iterator[Import]:
    for path in sorted(package.rglob("*.py")):
        parts = list(path.relative_to(package).with_suffix("").parts)
        inside = parts if parts[-1] != "__init__" else parts[:-1]
        tree = ast.parse(path.read_text("utf-8"))
        asleep = set()  # nodes that do not run when the module is loaded
        for node in ast.walk(tree):
            typing_only = isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test)
            if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda) or typing_only:
                asleep.update(map(id, ast.walk(node)))
        for node in ast.walk(tree):
            for names in _names(node, inside, is_package=parts[-1] == "__init__"):
                yield Import(".".join(inside), node.lineno, names, id(node) not in asleep)


def _names(node: ast.AST, inside: list[str], is_package: bool) -> Iterator[tuple[str, ...]]:
    if isinstance(node, ast.Import):
        yield from ((alias.name,) for alias in node.names)
    if isinstance(node, ast.ImportFrom):
        base = node.module or ""
        if node.level:
            here = ["booklet", *(inside if is_package else inside[:-1])]
            base = ".".join(here[: len(here) - node.level + 1] + ([base] if base else []))
        yield from ((f"{base}.{alias.name}", base) for alias in node.names)


def faults(package: Path) -> list[str]:
    """What breaks a rule, one sentence each."""
    found = [*_rooms_outside_the_plan(package), *_modules_without_a_first_line(package)]
    modules = {".".join(p.relative_to(package).with_suffix("").parts) for p in package.rglob("*.py")}
    modules |= {module.rpartition(".")[0] for module in modules}
    for one in imports(package):
        where = f"booklet/{one.module.replace('.', '/')}:{one.line}"
        root = one.names[-1].split(".")[0]
        if root == "booklet":
            known = [n[8:] for n in one.names if n[8:] in modules or n[8:] in FLOOR]  # a room may still be missing
            target = known[0] if known else one.names[-1][8:]
            found += [f"{where}: {fault}" for fault in _inside(one, target)]
        elif root in DOORS:
            doors, lazily = DOORS[root]
            if not any(fnmatch(one.module, door) for door in doors.split()):
                found.append(f"{where}: {root} has its door in {doors}")
            elif lazily and one.at_load:
                found.append(f"{where}: {root} is heavy: import it inside the function that needs it")
        elif root in NOT_PACKAGES:
            found.append(f"{where}: {root} is a folder, not a package")
    return found


def _inside(one: Import, target: str) -> Iterator[str]:
    room, other = one.module.split(".")[0], target.split(".")[0]
    if not one.module:
        yield "the package's root imports nothing"
        return
    if not target:
        yield "the package's root holds nothing to import"
        return
    if room == other:
        mine, theirs = _check(one.module), _check(target)
        if mine and theirs and mine != theirs and not any(fnmatch(theirs, shared) for shared in CHECKS_SHARE):
            yield f"the check {mine} leans on the check {theirs}"
        return
    if FLOOR.get(other, 0) > FLOOR.get(room, 0):
        yield f"{room} imports {other}, which is above it"
    elif FLOOR.get(other, 0) == FLOOR.get(room, 0):
        yield f"{room} imports its neighbour {other}"
    if room in NEUTRAL and other == "editions":
        yield f"{room} is neutral and imports editions"
    if other in NOUNS and room not in CALLERS and target.split(".")[1:2] not in [[noun] for noun in NOUNS[other]]:
        yield f"{room} imports {target}, but only pipeline calls a stage; the nouns of {other}: {NOUNS[other]}"


def _check(module: str) -> str | None:
    parts = module.split(".")
    return parts[2] if len(parts) > 2 and parts[1] == "checks" else None


def _rooms_outside_the_plan(package: Path) -> Iterator[str]:
    for path in sorted(package.iterdir()):
        if path.suffix == ".py" or any(path.rglob("*.py")):
            name = path.stem
            if name not in FLOOR and name != "__init__":
                yield f"booklet/{path.name}: a room that is not in the plan"


def _modules_without_a_first_line(package: Path) -> Iterator[str]:
    for path in sorted(package.rglob("*.py")):
        if not ast.get_docstring(ast.parse(path.read_text("utf-8"))):
            yield f"booklet/{path.relative_to(package)}: no first line that says what comes in and what goes out"


def test_the_house_keeps_its_floors() -> None:
    assert faults(PACKAGE) == []


def test_the_package_root_is_a_docstring() -> None:
    assert len(ast.parse((PACKAGE / "__init__.py").read_text("utf-8")).body) == 1


SOUND = {
    "__init__.py": "",
    "units.py": "",
    "diagnostics/span.py": "",
    "editions/edition.py": "",
    "source/tree.py": "from booklet.diagnostics.span import Span",
    "pattern/model.py": "from booklet.source.tree import Tree",
    "notation/write.py": "from booklet.pattern.model import Pattern",
    "graph/graph.py": "",
    "graph/build.py": "from booklet.graph.graph import Graph",
    "graph/checks/__init__.py": "from booklet.graph.checks import counts, closing",
    "graph/checks/counts.py": "from booklet.notation.write import write",
    "graph/checks/closing.py": "",
    "figures/figures.py": "",
    "figures/yarn.py": "from booklet.graph.graph import Graph",
    "drawings/drawing.py": "",
    "pages/book.py": "from booklet.editions.edition import Edition\nfrom booklet.drawings.drawing import Drawing",
    "outputs/html.py": "from booklet.pages.book import Book\ndef f():\n    import jinja2",
    "reports/frame.py": "",
    "pipeline.py": "from booklet.figures.yarn import yarn\nfrom booklet.outputs import html",
    "cli/__init__.py": "import click\nfrom booklet import pipeline\nfrom booklet.reports.frame import report",
}


def build(folder: Path, **changes: str) -> Path:
    package = folder / "booklet"
    for name, text in {**SOUND, **changes}.items():
        path = package / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f'"""A first line."""\n{text}\n', "utf-8")
    return package


def test_a_sound_house_has_no_fault(tmp_path: Path) -> None:
    assert faults(build(tmp_path)) == []


TYPE_ONLY = "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    "


@pytest.mark.parametrize(
    ("file", "text", "caught"),
    [
        ("figures/yarn.py", "from booklet.pages.book import Book", "figures imports pages, which is above"),
        ("figures/yarn.py", "def f():\n    from booklet.pages import book", "figures imports pages, which is above"),
        ("figures/yarn.py", "from ..pages.book import Book", "figures imports pages, which is above"),
        ("figures/yarn.py", "import booklet.pages.book", "figures imports pages, which is above"),
        ("source/tree.py", TYPE_ONLY + "from booklet.pattern.model import Pattern", "source imports pattern"),
        ("reports/frame.py", "from booklet.outputs import html", "reports imports its neighbour outputs"),
        ("attic/old.py", "", "booklet/attic: a room that is not in the plan"),
        ("attic.py", "", "booklet/attic.py: a room that is not in the plan"),
        ("drawings/drawing.py", "from booklet.editions.edition import Edition", "drawings is neutral"),
        ("outputs/html.py", "from booklet.figures.yarn import yarn", "only pipeline calls a stage"),
        ("cli/__init__.py", "from booklet import outputs", "only pipeline calls a stage"),
        ("graph/checks/counts.py", "from booklet.graph.checks import closing", "the check counts leans on"),
        ("graph/checks/counts.py", "from booklet.graph.checks.closing import x", "the check counts leans on"),
        ("cli/__init__.py", "def f():\n    import weasyprint", "weasyprint has its door in outputs.pdf*"),
        ("drawings/drawing.py", "def f():\n    import svgwrite.path", "svgwrite has its door in outputs.svg*"),
        ("reports/frame.py", TYPE_ONLY + "import click", "click has its door in cli"),
        ("outputs/html.py", "from jinja2 import Environment", "jinja2 is heavy"),
        ("outputs/html.py", "try:\n    import markdown\nexcept ImportError:\n    pass", "markdown is heavy"),
        ("units.py", "import shared.terms", "shared is a folder"),
        ("__init__.py", "from booklet import units", "the package's root imports nothing"),
    ],
)
def test_a_planted_fault_is_caught(tmp_path: Path, file: str, text: str, caught: str) -> None:
    found = faults(build(tmp_path, **{file: text}))
    assert any(caught in fault for fault in found), found


def test_a_module_without_a_first_line_is_caught(tmp_path: Path) -> None:
    package = build(tmp_path)
    (package / "units.py").write_text("MM = 1\n", "utf-8")
    assert faults(package) == ["booklet/units.py: no first line that says what comes in and what goes out"]
