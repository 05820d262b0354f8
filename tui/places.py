"""Where the program keeps its own files, and how it writes them (XDG base directories)."""

import os
import tempfile
from collections.abc import Mapping
from pathlib import Path

_NAME = "fusewalk"


def config_directory(environment: Mapping[str, str] = os.environ) -> Path:
    """Return the directory of the settings that a person may edit."""
    return _base(environment, "XDG_CONFIG_HOME", ".config")


def state_directory(environment: Mapping[str, str] = os.environ) -> Path:
    """Return the directory of what is remembered between runs, crash notes among it."""
    return _base(environment, "XDG_STATE_HOME", ".local/state")


def demo_builds() -> list[Path]:
    """Return the harness files that come with the program, by name."""
    import model

    directory = Path(model.__file__).parent.parent / "demo_builds"
    return sorted(path for path in directory.glob("*.toml") if path.is_file())


def write_whole(path: Path, text: str, mode: int = 0o600) -> None:
    """Write a small file of our own so that it is old or new, never half.

    The directory is made where it is missing.

    Raises
    ------
    OSError
        Where the directory or file cannot be written; a file that was there stays as it was.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    beside = Path(name)
    try:
        with os.fdopen(handle, "w", encoding="utf-8", errors="surrogateescape", newline="\n") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        beside.chmod(mode)
        beside.replace(path.resolve())
    except BaseException:
        beside.unlink(missing_ok=True)
        raise


def write_new(directories: list[Path], name: str, text: str, mode: int = 0o644) -> Path:
    """Write a text into a file that was not there before, in the first directory that takes it.

    Our own state directory is made where it is missing, others are not.

    Parameters
    ----------
    directories : list of Path
        In order of preference.
    name : str
        What the file should be called; a number is put before its suffix where it exists.
    text : str
        What to write, as UTF-8.
    mode : int
        Who may read and write it, less what the process's mask takes.

    Returns
    -------
    Path
        The file written, absolute.

    Raises
    ------
    OSError
        Where none of the directories takes a file: what the last one said.
    """
    refusal: OSError = FileNotFoundError("no directory to write into")
    for directory in directories:
        try:
            if directory == state_directory():
                directory.mkdir(parents=True, exist_ok=True)
            return _write_numbered(directory.absolute(), Path(name), text, mode)
        except OSError as error:
            refusal = error
    raise refusal


def file_name(words: str, suffix: str) -> str:
    """Return a file name made from words of a harness: letters, digits and hyphens alone, at most 60 characters."""
    kept = "".join(c if c.isascii() and c.isalnum() else "-" for c in words.lower())
    stem = "-".join(part for part in kept.split("-") if part)[:60].strip("-")
    return f"{stem or 'fusewalk'}{suffix}"


def _base(environment: Mapping[str, str], variable: str, otherwise: str) -> Path:
    """Return our directory in an XDG base directory; a relative one is ignored, as the specification says."""
    given = environment.get(variable, "")
    if given and Path(given).is_absolute():
        return Path(given) / _NAME
    return _home(environment) / otherwise / _NAME


def _home(environment: Mapping[str, str]) -> Path:
    """Return the home directory; of a user who has none, as in many a container, a place that keeps nothing."""
    given = environment.get("HOME", "")
    try:
        return Path(given) if given else Path.home()
    except RuntimeError:
        return Path(os.devnull)


def _write_numbered(directory: Path, name: Path, text: str, mode: int) -> Path:
    """Write under the name, or the name with the first number that is free."""
    for number in range(1, 1000):
        path = directory / (name.name if number == 1 else f"{name.stem}-{number}{name.suffix}")
        try:
            handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
        except FileExistsError:
            continue
        with os.fdopen(handle, "w", encoding="utf-8", errors="backslashreplace", newline="\n") as stream:
            stream.write(text)
        return path
    raise FileExistsError(f"a thousand files are called {name} already")
