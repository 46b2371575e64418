"""Finding the program, and asking it who it is."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path
from typing import Iterable, NamedTuple, Tuple, Union

from .told import Told

OLDEST = (0, 1, 0)  #: the oldest program these plug-ins can work with
TOO_NEW = (1, 0, 0)  #: the first that they were not made for

_REMEDY = (
    "Build Roomloom (scripts/demo leaves it at build/bin/roomloom) and give the path of the "
    "program in the plug-in's preferences, or put it on the PATH."
)


class Program(NamedTuple):
    """A program that was found and answers."""

    path: str
    version: Tuple[int, ...]


def _file_name() -> str:
    return "roomloom.exe" if os.name == "nt" else "roomloom"


def _in_folder(folder: Path) -> Iterable[Path]:
    yield folder / _file_name()
    yield folder / "bin" / _file_name()


def _runs(path: Path) -> bool:
    return path.is_file() and os.access(path, os.X_OK)


def find_program(preference: str = "", beside: Iterable[Union[str, Path]] = ()) -> str:
    """The path of the program: the preference, else beside the plug-in, else on the PATH.

    preference  a file, or a folder that holds it (or its bin/); empty = none. A preference that
                leads nowhere is told, and nothing else is taken in its stead.
    beside      folders to look in, and in their bin/
    Raises Told: program.missing, program.preference, program.not-executable.
    """
    if preference.strip():
        wanted = Path(preference.strip()).expanduser()
        for path in [wanted, *_in_folder(wanted)]:
            if _runs(path):
                return str(path)
        if wanted.is_file():
            raise Told(
                "program.not-executable",
                "The file that the preferences name may not be run as a program.",
                str(wanted),
                "Make it executable, or name another.",
            )
        raise Told(
            "program.preference",
            "The program is not where the preferences say.",
            str(wanted),
            "Correct the path, or clear it to have the program looked for.",
        )
    for folder in beside:
        for path in _in_folder(Path(folder)):
            if _runs(path):
                return str(path)
    found = shutil.which("roomloom")
    if found:
        return found
    raise Told("program.missing", "The program roomloom was not found.", "", _REMEDY)


def ask_program(path: str, arguments: Iterable[str], seconds: float = 20) -> Tuple[int, str, str]:
    """Runs a command that answers at once: (exit status, standard output, standard error).

    Raises Told: program.start, program.slow.
    """
    try:
        done = subprocess.run(
            [path, *arguments],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            timeout=seconds,
            check=False,
            env=clean_environment(),
        )
    except subprocess.TimeoutExpired:
        raise Told("program.slow", "The program does not answer.", path, _REMEDY) from None
    except OSError as fault:
        reason = fault.strerror or str(fault)
        raise Told("program.start", f"The program cannot be started ({reason}).", path, _REMEDY)
    return (
        done.returncode,
        done.stdout.decode("utf-8", "replace"),
        done.stderr.decode("utf-8", "replace"),
    )


def clean_environment() -> dict:
    """The environment without what a host set up for its own libraries and Python."""
    host_only = ("PYTHONHOME", "PYTHONPATH", "LD_PRELOAD", "QT_PLUGIN_PATH")
    return {key: value for key, value in os.environ.items() if key not in host_only}


def check_program(path: str) -> Program:
    """Asks the program for its version and holds it against OLDEST and TOO_NEW.

    Raises Told: program.start, program.slow, program.foreign, program.old, program.new.
    """
    status, out, _ = ask_program(path, ["--version"])
    found = re.match(r"roomloom (\d+)\.(\d+)(?:\.(\d+))?", out.strip())
    if status != 0 or not found:
        raise Told(
            "program.foreign", "This program does not say that it is roomloom.", path, _REMEDY
        )
    version = tuple(int(number or 0) for number in found.groups())
    said = ".".join(map(str, version))
    oldest, newest = ".".join(map(str, OLDEST)), ".".join(map(str, TOO_NEW))
    if version < OLDEST:
        raise Told(
            "program.old",
            f"The program is version {said}; this plug-in needs {oldest} or newer.",
            path,
            "Build a newer Roomloom, or install the plug-in that belongs to this one.",
        )
    if version >= TOO_NEW:
        raise Told(
            "program.new",
            f"The program is version {said}; this plug-in was made for those before {newest}.",
            path,
            "Install the plug-in that belongs to this program.",
        )
    return Program(path, version)
