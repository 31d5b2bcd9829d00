"""The built wheel in an environment of its own: the demo runs from it alone, extras are asked for by name, completion works."""

import os
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

slow = pytest.mark.slow
PROJECT = tomllib.loads((Path(__file__).parents[1] / "pyproject.toml").read_text(encoding="utf-8"))["project"]


@pytest.fixture(scope="session")
def wheel(repository, tmp_path_factory):
    """The wheel, built from the clone with the tools that are installed."""
    out = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation", "--wheel-dir", out, repository]
    subprocess.run(command, check=True, capture_output=True)
    (built,) = out.glob("*.whl")
    return built


@pytest.fixture(scope="session")
def installed(wheel, repository, tmp_path_factory):
    """A new environment with the wheel and its pinned dependencies, and none of the extras; its folder of programs."""
    place = tmp_path_factory.mktemp("clean")
    pins = re.sub(r" \\$|^\s+--hash.*$|^\s+#.*$", "", (repository / "constraints.txt").read_text(encoding="utf-8"), flags=re.MULTILINE)
    (place / "pins.txt").write_text(pins, encoding="utf-8")
    uv = Path(sys.executable).parent / "uv"
    subprocess.run([uv, "venv", "--quiet", "--python", sys.executable, place / "env"], check=True, capture_output=True)
    python = place / "env" / "bin" / "python"
    subprocess.run([uv, "pip", "install", "--quiet", "--python", python, "-c", place / "pins.txt", wheel], check=True, capture_output=True)
    return python.parent


@pytest.fixture
def run(installed, tmp_path):
    """Runs a program of that environment, away from the clone, for a user with nothing of their own."""
    own = {"HOME": str(tmp_path), "PATH": f"{installed}:/usr/bin:/bin", "GUDGEON_RECORD": str(tmp_path / "record"), "LANG": "C.UTF-8"}

    def program(name, *arguments, **more):
        return subprocess.run([installed / name, *arguments], capture_output=True, text=True, cwd=tmp_path, env={**own, **more})

    return program


@slow
def test_the_wheel_holds_what_it_needs(wheel):
    names = zipfile.ZipFile(wheel).namelist()
    for name in ("sample_audio/orchard_session.flac", "sample_audio/orchard_session.txt", "sample_audio/orchard_spec.csv", "py.typed"):
        assert f"gudgeon/{name}" in names
    for name in ("reports/templates/document.typ", "reports/templates/document.html", "pages/templates/base.html", "cli/tables/shapes.schema.json"):
        assert f"gudgeon/{name}" in names
    assert [name for name in names if name.endswith("licenses/LICENSE")]
    assert not [name for name in names if "test" in name.split("/")[-1] and name.endswith(".py")]


@slow
def test_the_demo_runs_from_the_wheel_alone(run):
    ran = run("gudgeon", "demo")
    assert ran.returncode == 0, ran.stderr
    assert "the words of orchard_session.txt are read" in ran.stderr
    assert "gearbox lid" in ran.stdout and "OVER" in ran.stdout


@slow
def test_with_a_model_it_listens(run):
    from gudgeon.speech import installed_model

    ran = run("gudgeon", "demo", GUDGEON_MODELS=str(installed_model().folder))
    assert ran.returncode == 0, ran.stderr
    assert "Listening to orchard_session.flac" in ran.stderr and "this computer alone" in ran.stderr
    assert "gearbox lid" in ran.stdout


@slow
@pytest.mark.parametrize(
    ("arguments", "extra"),
    [(["take", "x.wav"], "model"), (["serve"], "pages"), (["export", "--to", "pdf", "--out", "x.pdf"], "pdf")],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_what_is_missing_is_asked_for_by_name(run, tmp_path, arguments, extra):
    import wave

    with wave.open(str(tmp_path / "x.wav"), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(16_000)
        out.writeframes(bytes(64_000))
    ran = run("gudgeon", *arguments)
    assert ran.returncode == 1 and f"gudgeon[{extra}]" in ran.stderr, ran.stderr
    assert "Traceback" not in ran.stderr and "went wrong inside" not in ran.stderr


@slow
def test_python_m(run):
    ran = run("python", "-m", "gudgeon", "--version")
    assert ran.stdout == f"gudgeon {PROJECT['version']}\n"


@slow
def test_bash_completes_commands_and_options(run):
    """In a real bash: the script that ``--show-completion`` prints is loaded, and asked what it offers."""
    script = run("gudgeon", "--show-completion", "bash")
    assert script.returncode == 0
    ask = 'COMP_WORDS=("$@"); COMP_CWORD=$(($# - 1)); _gudgeon_completion gudgeon; printf "%s\\n" "${COMPREPLY[@]}"'

    def offered(*words):
        command = ["bash", "-c", f"{script.stdout}\n{ask}", "bash", *words]
        path = f"{os.fspath(run('python', '-c', 'import sys; print(sys.prefix)').stdout.strip())}/bin:/usr/bin:/bin"
        return subprocess.run(command, capture_output=True, text=True, env={"PATH": path}).stdout.split()

    assert offered("gudgeon", "su") == ["summary"]
    assert {"--to", "--out", "--job", "--reverse"} <= set(offered("gudgeon", "export", "--"))


def test_every_extra_is_explained(repository):
    page = (repository / "docs" / "platforms.md").read_text(encoding="utf-8")
    for extra in PROJECT["optional-dependencies"]:
        if extra not in ("build", "dev", "docs"):
            assert f"| `{extra}` |" in page, extra


def test_every_package_of_an_extra_has_its_name_told():
    """The message of a package that is missing names the extra that brings it."""
    from gudgeon.cli.trouble import EXTRAS

    for package, extra in EXTRAS.items():
        brought = [re.split(r"[<>=;\[]", line)[0] for line in PROJECT["optional-dependencies"][extra]]
        assert package in brought or package == "starlette", package
