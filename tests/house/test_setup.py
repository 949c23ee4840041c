"""`make setup` on machines that this one is not: stand-ins for Python, apt-get and id say what the machine is like.

The stand-ins write down how they were called. They take no decision of the script's: they answer what a machine would.
"""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
TOOLS = "bash cat cp cksum chmod cut dirname env flock grep mkdir mv rm sed touch".split()

PYTHON = r"""#!/bin/bash
echo "$(basename "$0") $*" >> "$STATE/calls"
case "$*" in
    *hashlib*) echo "hash-$(cksum < pyproject.toml)" ;;
    *"import ensurepip"*) test -e "$STATE/ensurepip" ;;
    *weasyprint*) test -e "$STATE/pango" ;;
    *"python%d.%d"*) basename "$0" ;;
    *"-m venv"*) mkdir -p .venv/bin; cp "$0" .venv/bin/python; touch "$STATE/pip" ;;
    *"pip --version"*) test -e "$STATE/pip" ;;
    *"pip install"*) test ! -e "$STATE/no-network" ;;
    *) exit 0 ;;
esac
"""

APT = r"""#!/bin/bash
echo "apt-get $*" >> "$STATE/calls"
test "$DEBIAN_FRONTEND" = noninteractive || exit 9
read -r question && exit 8
case "$*" in
    install*-venv*) touch "$STATE/ensurepip" ;;
    install*libpango*) touch "$STATE/pango" ;;
esac
"""


class Machine:
    """A checkout in a folder with a space, on a machine with nothing but what is added."""

    def __init__(self, folder: Path) -> None:
        self.checkout, self.bin, self.state = folder / "a checkout", folder / "bin", folder / "state"
        for path in (self.checkout / ".ci", self.bin, self.state):
            path.mkdir(parents=True)
        shutil.copy(ROOT / ".ci" / "setup.sh", self.checkout / ".ci")
        (self.checkout / "pyproject.toml").write_text("[project]\n")
        for tool in [*TOOLS, "basename"]:
            if found := shutil.which(tool):
                (self.bin / tool).symlink_to(found)

    def put(self, name: str, text: str) -> None:
        (self.bin / name).write_text(text)
        (self.bin / name).chmod(0o755)

    def person(self, uid: int) -> None:
        self.put("id", f"#!/bin/bash\necho {uid}\n")
        self.put("apt-get", APT)

    def has(self, *things: str) -> None:
        for thing in things:
            (self.state / thing).touch()

    def run(self) -> subprocess.CompletedProcess[str]:
        environment = {"PATH": str(self.bin), "STATE": str(self.state), "HOME": str(self.state)}
        (self.state / "calls").write_text("")
        script = [str(self.bin / "bash"), ".ci/setup.sh"]
        return subprocess.run(
            script, cwd=self.checkout, env=environment, capture_output=True, text=True, stdin=subprocess.DEVNULL
        )

    def calls(self, word: str) -> list[str]:
        return [call for call in (self.state / "calls").read_text().splitlines() if word in call]

    @property
    def ready(self) -> bool:
        return (self.checkout / ".venv" / ".ready").exists()


@pytest.fixture
def machine(tmp_path: Path) -> Machine:
    made = Machine(tmp_path)
    made.person(0)
    made.put("python3.12", PYTHON)
    made.put("python3.11", PYTHON)
    return made


def test_a_bare_debian_gets_what_it_lacks(machine: Machine) -> None:
    done = machine.run()
    assert done.returncode == 0, done.stderr
    assert machine.ready
    assert machine.calls("apt-get") == [
        "apt-get update -qq",
        "apt-get install -y -qq --no-install-recommends python3.12-venv",
        "apt-get install -y -qq --no-install-recommends libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0",
    ]
    (install,) = machine.calls("pip install")
    assert "-e .[ja,heic,dev]" in install


def test_a_second_run_reuses_what_is_there(machine: Machine) -> None:
    machine.has("ensurepip", "pango")
    assert machine.run().returncode == 0
    again = machine.run()
    assert (again.returncode, again.stderr) == (0, "")
    assert not machine.calls("pip")
    assert not machine.calls("apt-get")


def test_a_changed_project_file_installs_again_into_the_same_environment(machine: Machine) -> None:
    machine.has("ensurepip", "pango")
    assert machine.run().returncode == 0
    (machine.checkout / "pyproject.toml").write_text("[project]\nname = 'x'\n")
    assert machine.run().returncode == 0
    assert machine.calls("pip install")
    assert not machine.calls("-m venv")


def test_a_python_without_pip_is_no_environment(machine: Machine) -> None:
    machine.has("ensurepip", "pango")
    assert machine.run().returncode == 0
    (machine.checkout / ".venv" / ".ready").unlink()
    (machine.state / "pip").unlink()
    assert machine.run().returncode == 0
    assert machine.calls("-m venv")
    assert machine.ready


def test_an_install_that_failed_is_not_believed(machine: Machine) -> None:
    machine.has("ensurepip", "pango", "no-network")
    assert machine.run().returncode != 0
    assert not machine.ready
    (machine.state / "no-network").unlink()
    assert machine.run().returncode == 0
    assert machine.ready


def test_the_newest_python_that_really_runs_is_taken(machine: Machine) -> None:
    machine.has("ensurepip", "pango")
    machine.put("python3.14", "#!/bin/bash\necho 'python3.14: command not found' >&2\nexit 127\n")  # a version manager's
    assert machine.run().returncode == 0
    assert [call.split()[0] for call in machine.calls("-m venv")] == ["python3.12"]


def test_the_next_python_is_tried_where_the_newest_cannot_make_environments(machine: Machine) -> None:
    machine.has("ensurepip", "pango")
    machine.put("python3.12", PYTHON.replace('*"-m venv"*) ', '*"-m venv"*) exit 1; '))
    assert machine.run().returncode == 0
    assert [call.split()[0] for call in machine.calls("-m venv")] == ["python3.12", "python3.11"]


ELSEWHERE = ["apt-get", "dnf install", "brew install", "pacman -S"]


def test_without_root_the_missing_libraries_are_named_for_every_system(machine: Machine) -> None:
    machine.has("ensurepip")
    machine.person(1000)
    done = machine.run()
    assert done.returncode != 0
    assert not machine.ready
    assert not machine.calls("apt-get")
    assert all(word in done.stderr for word in [*ELSEWHERE, "libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0"])
    machine.has("pango")  # the person installed them
    assert machine.run().returncode == 0
    assert machine.ready
    assert not machine.calls("-m venv")


def test_without_root_a_missing_venv_is_named(machine: Machine) -> None:
    machine.person(1000)
    done = machine.run()
    assert done.returncode != 0
    assert not machine.calls("apt-get")
    assert "python3-venv" in done.stderr
    assert "winget install" in done.stderr


def test_without_any_python_it_says_so(tmp_path: Path) -> None:
    machine = Machine(tmp_path)
    machine.person(1000)
    done = machine.run()
    assert done.returncode != 0
    assert "no Python 3.11 or newer was found" in done.stderr


def test_the_build_server_runs_the_tests_without_asking(tmp_path: Path) -> None:
    """.ci/run calls `make test`, from whatever folder it is started in, with nothing to read from."""
    checkout, tools = tmp_path / "a checkout", tmp_path / "bin"
    (checkout / ".ci").mkdir(parents=True)
    tools.mkdir()
    shutil.copy(ROOT / ".ci" / "run", checkout / ".ci")
    (tools / "make").write_text('#!/bin/bash\necho "make $* in $PWD"\ncat\nexit 7\n')
    (tools / "make").chmod(0o755)
    done = subprocess.run(
        ["bash", str(checkout / ".ci" / "run")],
        env={"PATH": f"{tools}:/usr/bin:/bin"},
        cwd="/",
        capture_output=True,
        text=True,
        input="something",
    )
    assert done.stdout == f"make test in {checkout}\n"
    assert done.returncode == 7
