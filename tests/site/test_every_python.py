"""A site is the same, byte for byte, whichever Python publishes it."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest

from sitegen.cache import PLACE

ROOT = Path(__file__).parents[2]
MINORS = range(11, 15)
"""Of Python 3: from the oldest that the package says it needs to the newest that it was tried with."""
PIP = [sys.executable, "-m", "pip"]
QUIET: Mapping[str, Any] = {"capture_output": True, "text": True}


def python_of(minor: int) -> Path | None:
    """A Python of that version beside this one, if there is one."""
    name = f"python3.{minor}"
    pyenv = Path(os.environ.get("PYENV_ROOT", Path.home() / ".pyenv")) / "versions"
    managed = Path(os.environ.get("UV_PYTHON_INSTALL_DIR", Path.home() / ".local/share/uv/python"))
    places = [*pyenv.glob(f"3.{minor}.*/bin/{name}"), *managed.glob(f"*/bin/{name}"), shutil.which(name)]
    return next((each for each in map(Path, filter(None, places)) if works(each, minor)), None)


def works(python: Path, minor: int) -> bool:
    """Whether it is a Python of that version; what stands in its place may be a note that there is none."""
    told = subprocess.run([python, "-c", "import sys, ensurepip; print(sys.version_info.minor)"], **QUIET)
    return told.returncode == 0 and told.stdout.strip() == str(minor)


def published(folder: Path, turnfolio: Path, cache: Path) -> dict[str, str]:
    """The digest of each file of the demo, published into a folder by a command with results kept there."""
    shutil.copytree(ROOT / "content", folder / "content")
    environment = {**os.environ, PLACE: str(cache)}
    done = subprocess.run([turnfolio, "publish", folder], env=environment, **QUIET)
    assert done.returncode == 0, done.stderr
    files = (file for file in (folder / "output").rglob("*") if file.is_file())
    return {str(file.relative_to(folder)): sha256(file.read_bytes()).hexdigest() for file in files}


@pytest.fixture(scope="module")
def here(tmp_path_factory, _shared_cache: Path) -> dict[str, str]:
    turnfolio = Path(sys.executable).with_name("turnfolio")
    return published(tmp_path_factory.mktemp("here"), turnfolio, _shared_cache / "demo")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory) -> Path:
    """The package as it is passed on."""
    folder: Path = tmp_path_factory.mktemp("wheel")
    source = folder / "source"
    for name in ("sitegen", "themes"):
        shutil.copytree(ROOT / name, source / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, source)
    made = subprocess.run([*PIP, "wheel", "-q", "--no-deps", "-w", folder, source], **QUIET)
    if made.returncode:
        pytest.skip(f"what makes it cannot be installed: {made.stderr.strip().splitlines()[-1]}")
    return next(folder.glob("*.whl"))


def test_the_oldest_is_the_one_that_the_package_needs() -> None:
    needed = re.search(r'requires-python = ">=3\.(\d+)"', (ROOT / "pyproject.toml").read_text("utf-8"))
    assert needed
    assert int(needed[1]) == MINORS[0]


@pytest.mark.slow
@pytest.mark.parametrize("minor", [minor for minor in MINORS if minor != sys.version_info.minor])
def test_every_python_publishes_the_same_bytes(minor: int, request, tmp_path: Path) -> None:
    python = python_of(minor)
    if python is None:
        pytest.skip(f"there is no Python 3.{minor} here")
    wheel, place = request.getfixturevalue("wheel"), tmp_path / "venv"
    subprocess.run([python, "-m", "venv", "--without-pip", place], check=True, **QUIET)
    install = [*PIP, "--python", place, "install", "-q", "--no-compile", wheel]
    installed = subprocess.run(install, **QUIET)
    if installed.returncode:
        pytest.skip(f"its libraries cannot be installed: {installed.stderr.strip().splitlines()[-1]}")
    assert published(tmp_path, place / "bin/turnfolio", tmp_path / "cache") == request.getfixturevalue("here")
