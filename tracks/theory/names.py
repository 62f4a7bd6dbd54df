"""Names of files that any computer takes."""

from tracks.theory.errors import RequestError

_RESERVED = {"con", "prn", "aux", "nul", "conin$", "conout$"} | {
    f"{device}{number}" for device in ("com", "lpt") for number in "0123456789¹²³"
}


def check_portable(name: str) -> str:
    """Return a name of a file or a folder; raise RequestError for one that Windows keeps for a device.

    Capitals and endings make no difference. Source: "Naming Files, Paths, and Namespaces", Microsoft's
    documentation of Windows (from memory).
    """
    if name.partition(".")[0].rstrip().lower() in _RESERVED:
        raise RequestError(f"{name!r} is the name of a device on Windows", "choose another", "name")
    return name
