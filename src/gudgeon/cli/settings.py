"""``gudgeon settings``: the owner's choices, kept in a TOML file."""

from __future__ import annotations

import os
import textwrap
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import typer

from gudgeon.cli.as_json import AsJson
from gudgeon.cli.show import print_json, width


@dataclass(frozen=True, slots=True)
class Setting:
    """A setting: what it is when not set, what it means, and what it may be (anything when empty)."""

    default: str
    meaning: str
    choices: tuple[str, ...] = ()


SETTINGS = {
    "job": Setting("", "the job that is meant when --job is left out"),
    "by": Setting("", "who speaks when --by is left out"),
    "recogniser": Setting("embedded", "what reads recordings", ("embedded", "vosk")),
    "microphone": Setting("", "the microphone to listen at, by number or name, when --microphone is left out"),
    "wake": Setting("hello workshop", "the words that make the rest of a phrase a command"),
    "tones": Setting("normal", "how loud the tones of a live session are", ("off", "quiet", "normal", "loud")),
    "answers": Setting("spoken", "whether a live session speaks its answers", ("spoken", "shown")),
    "doubts": Setting("asked", "whether a torque heard unsurely is asked for", ("asked", "marked")),
    "mil": Setting("mm", 'what "mil" means when you say it', ("mm", "thou")),
}


def settings_file() -> Path:
    """The TOML file: GUDGEON_SETTINGS, else in the user's configuration folder."""
    if os.environ.get("GUDGEON_SETTINGS"):
        return Path(os.environ["GUDGEON_SETTINGS"]).expanduser()
    from platformdirs import user_config_path

    return user_config_path("gudgeon", appauthor=False) / "settings.toml"


def stored_settings() -> dict[str, Any]:
    """What the file holds. Raises BadInput when it is no TOML."""
    import tomllib

    from gudgeon.domain import BadInput

    path = settings_file()
    if not path.is_file():
        return {}
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise BadInput(f"The settings file {path} cannot be read: {error}.", kept="It was not changed.", next_step="Mend or remove it.") from error


def value_of(name: str) -> str:
    """A setting's value, or its default. Raises BadInput when the file holds one that cannot be."""
    value = str(stored_settings().get(name, SETTINGS[name].default))
    return _checked(name, value)


def _checked(name: str, value: str) -> str:
    from gudgeon.domain import BadInput

    choices = SETTINGS[name].choices
    if choices and value not in choices:
        raise BadInput(f"The setting {name} cannot be {value!r}.", kept="It was not changed.", next_step=f"Choose one of: {', '.join(choices)}.")
    return value


def settings(
    name: Annotated[str | None, typer.Argument(help="The setting.")] = None,
    value: Annotated[str | None, typer.Argument(help="Its new value; an empty one sets it back.")] = None,
    as_json: AsJson = False,
) -> None:
    """Show or change a setting.

    Example: gudgeon settings mil thou
    """
    from gudgeon.domain import BadInput

    if name is not None and name not in SETTINGS:
        raise BadInput(f"There is no setting {name!r}.", next_step=f"Settings: {', '.join(SETTINGS)}.")
    if name is not None and value is not None:
        remember(name, value)
    shown = {key: value_of(key) for key in SETTINGS if name in (None, key)}
    if as_json:
        print_json({"schema": 1, "file": str(settings_file()), "settings": shown})
        return
    for key, now in shown.items():
        print(f"{key}: {now or '(not set)'}")
        print(textwrap.fill(SETTINGS[key].meaning, width(), initial_indent="    ", subsequent_indent="    "))
    if name is None:
        print(f"Kept in {settings_file()}")


def remember(name: str, value: str) -> None:
    """Keep a setting's new value; an empty one sets it back. Raises BadInput for a value that cannot be, Failure when it cannot be written."""
    import tomli_w

    from gudgeon.domain import Failure

    kept = stored_settings()
    if value:
        kept[name] = _checked(name, value)
    else:
        kept.pop(name, None)
    path = settings_file()
    try:
        path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
        part = path.with_suffix(".part")
        part.write_text(tomli_w.dumps(kept), encoding="utf-8")
        part.replace(path)
    except OSError as error:
        raise Failure(f"The settings file {path} cannot be written: {error.strerror}.", kept="The settings are as they were.") from error
