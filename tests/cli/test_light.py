"""`booklet check` loads little: the standard library, click and the YAML reader; no drawing, no page, no output."""

import ast
import json
import subprocess
import sys
from pathlib import Path

PATTERN = "---\ntitle: Ball\n---\n\n## Ball\nWith A.\nRnd 1: 6 sc in MR (6)\nRnd 2: (sc, inc x 7 (13)\n"
SITE = ("_virtualenv", "__editable__", "_distutils_hack", "sitecustomize")  # what an environment loads by itself
MOST_DATA_CLASSES = 25  # sixty of them cost 60 ms to import, measured

SCRIPT = """
import json, sys
from booklet.cli import main
try:
    main(["check", sys.argv[1]])
except SystemExit:
    pass
modules = {name: getattr(module, "__file__", None) for name, module in list(sys.modules.items()) if module}
made = [
    f"{name}.{key}"
    for name in modules if name.startswith("booklet")
    for key, value in vars(sys.modules[name]).items()
    if isinstance(value, type) and value.__module__ == name and hasattr(value, "__dataclass_fields__")
]
print(json.dumps([modules, made]))
"""


def loaded(tmp_path):
    file = tmp_path / "ball.md"
    file.write_text(PATTERN, "utf-8")
    done = subprocess.run([sys.executable, "-c", SCRIPT, str(file)], capture_output=True, check=True)
    modules, made = json.loads(done.stdout)
    assert b"error" in done.stderr  # it has really checked something
    return modules, made


def test_check_stays_light(tmp_path):
    modules, made = loaded(tmp_path)
    ours = {name for name in modules if name.startswith("booklet")}
    rooms = {name.split(".")[1] for name in ours if "." in name}
    assert not rooms & {"drawings", "pages", "outputs", "editions", "press", "kits", "catalogues"}
    foreign = {
        name.split(".")[0]
        for name, file in modules.items()
        if file and "site-packages" in file and not name.startswith(("booklet", *SITE))
    }
    assert foreign <= {"click", "yaml", "_yaml"}, foreign
    assert len(made) <= MOST_DATA_CLASSES, made


def test_a_command_is_imported_only_when_it_is_called(tmp_path):
    modules, _ = loaded(tmp_path)
    assert not {f"booklet.cli.{name}" for name in ("build", "figures", "new", "list_", "explain")} & set(modules)


def test_click_is_the_only_import_at_the_top():
    """Of the command line's own modules: everything else is imported inside functions."""
    folder = Path(__file__).parents[2] / "booklet" / "cli"
    for path in folder.glob("*.py"):
        for node in ast.parse(path.read_text("utf-8")).body:
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [node.module] if isinstance(node, ast.ImportFrom) else []
            foreign = {name.split(".")[0] for name in names} - set(sys.stdlib_module_names) - {"click", "booklet"}
            assert not foreign, (path.name, foreign)
