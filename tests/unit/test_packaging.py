"""The wheel holds the program with its resources, and runs from a folder with any letters in its name."""

import json
import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SAMPLE = "sample_projects/first_harness.yaml"
FOLDER = "Wörkshop Ωμέγα кабель"


def run(*command: str | Path, cwd: Path) -> str:
    """Run a command that must succeed, as on a machine without a screen, and return what it printed."""
    unset = {"DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM", "PYTHONPATH"}
    env = {name: value for name, value in os.environ.items() if name not in unset}
    done = subprocess.run(command, cwd=cwd, env=env, capture_output=True, encoding="utf-8", check=False)
    assert done.returncode == 0, f"{command}\n{done.stdout}\n{done.stderr}"
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("wheel")
    run(sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", out, ROOT, cwd=out)
    (built,) = out.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the scripts folder of an environment that holds the wheel; it borrows the dependencies of this one."""
    home = tmp_path_factory.mktemp("installed") / FOLDER
    venv.create(home, with_pip=False)
    scripts = home / ("Scripts" if os.name == "nt" else "bin")
    python = scripts / "python"
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "--python", str(python)]
    run(*pip, "install", "--quiet", "--no-index", "--no-deps", wheel, cwd=home)
    site = run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", cwd=home).strip()
    Path(site, "borrowed.pth").write_text(sysconfig.get_path("purelib"), encoding="utf-8")
    return scripts


def test_the_wheel_holds_every_resource_and_sample_and_no_test(wheel: Path) -> None:
    names = set(zipfile.ZipFile(wheel).namelist())
    tracked = subprocess.run(
        ["git", "ls-files", "resources", "sample_projects", "harness_studio"],
        cwd=ROOT, capture_output=True, check=True, encoding="utf-8",
    ).stdout.splitlines()  # fmt: skip
    places = {
        "resources": "harness_studio/_resources",
        "sample_projects": "harness_studio/_resources/sample_projects",
    }
    wanted = {places.get(top, top) + "/" + rest for top, _, rest in (name.partition("/") for name in tracked)}
    assert wanted <= names
    assert not [name for name in names if name.startswith("tests/")]


@pytest.fixture(scope="module")
def package(installed: Path) -> Path:
    """Return the folder of the package that the installed environment runs."""
    where = "import harness_studio; print(harness_studio.__path__[0])"
    return Path(run(installed / "python", "-c", where, cwd=installed.parent).strip())


def test_the_installed_copy_is_the_one_that_runs(package: Path) -> None:
    assert FOLDER in package.parts


def test_an_installed_command_solves_a_sample(installed: Path, package: Path) -> None:
    sample = package / "_resources" / SAMPLE
    answer = json.loads(run(installed / "harness-studio", "solve", sample, "--json", cwd=installed.parent))
    assert any(volts for volts in answer["points"].values())


def test_without_a_screen_the_installed_program_prints_the_ground_map(installed: Path, package: Path) -> None:
    text = run(installed / "harness-studio", package / "_resources" / SAMPLE, cwd=installed.parent)
    assert "share" in text.lower()
