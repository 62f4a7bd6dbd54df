"""Names that Windows keeps for devices, refused so that packs can be handed on."""

import pytest

from tracks.theory.errors import RequestError
from tracks.theory.names import check_portable


@pytest.mark.parametrize("name", ["CON", "nul", "Aux", "prn.txt", "com1", "LPT9", "com¹", "conin$", "nul ."])
def test_a_device_of_windows_is_no_name(name: str) -> None:
    with pytest.raises(RequestError, match="is the name of a device on Windows; choose another"):
        check_portable(name)


@pytest.mark.parametrize("name", ["console", "com", "com10", "null", "lpt", "I-V-con", "conin"])
def test_a_name_that_only_looks_like_one_is_taken(name: str) -> None:
    assert check_portable(name) == name
