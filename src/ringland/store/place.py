"""Where the store is when nobody names a place: the user's data folder."""

import os
import sys
from collections.abc import Mapping
from pathlib import Path, PurePath

FILE = "bench.ringland"


def default_path() -> Path:
    """Return the default place of this user's store; nothing is made there."""
    return Path(data_folder(sys.platform, os.environ, Path.home())) / FILE


def data_folder(platform: str, environ: Mapping[str, str], home: PurePath) -> PurePath:
    """Return the folder for Ringland's own data.

    platform : as in sys.platform
    environ : the environment's variables
    home : the user's home

    Linux and others follow the XDG Base Directory Specification 0.8: $XDG_DATA_HOME where it is
    an absolute path, else ~/.local/share.

    >>> str(data_folder("linux", {}, PurePath("home", "ada")))
    'home/ada/.local/share/ringland'
    """
    if platform == "win32":
        local = environ.get("LOCALAPPDATA")
        return (type(home)(local) if local else home / "AppData" / "Local") / "Ringland"
    if platform == "darwin":
        return home / "Library" / "Application Support" / "Ringland"
    named = type(home)(environ.get("XDG_DATA_HOME", ""))
    return (named if named.is_absolute() else home / ".local" / "share") / "ringland"
