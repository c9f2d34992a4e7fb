"""The store's default place follows each system's custom."""

from pathlib import PurePosixPath, PureWindowsPath

import pytest

from ringland.store.place import data_folder

HOME = PurePosixPath("/home/ada")


@pytest.mark.parametrize(
    ("environ", "folder"),
    [
        ({}, "/home/ada/.local/share/ringland"),
        ({"XDG_DATA_HOME": "/data"}, "/data/ringland"),
        # XDG Base Directory Specification 0.8: a relative path is invalid and ignored
        ({"XDG_DATA_HOME": "data"}, "/home/ada/.local/share/ringland"),
        ({"XDG_DATA_HOME": ""}, "/home/ada/.local/share/ringland"),
    ],
)
def test_on_linux_the_xdg_folder_is_used(environ: dict[str, str], folder: str) -> None:
    assert str(data_folder("linux", environ, HOME)) == folder


def test_on_a_mac_application_support_is_used() -> None:
    folder = data_folder("darwin", {"XDG_DATA_HOME": "/data"}, HOME)
    assert str(folder) == "/home/ada/Library/Application Support/Ringland"


def test_on_windows_local_application_data_is_used() -> None:
    home = PureWindowsPath(r"C:\Users\ada")
    assert str(data_folder("win32", {"LOCALAPPDATA": r"D:\Data"}, home)) == r"D:\Data\Ringland"
    assert str(data_folder("win32", {}, home)) == r"C:\Users\ada\AppData\Local\Ringland"
