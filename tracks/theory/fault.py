"""The one error a request can cause.

Its text is a single line that names the place (a column, a field, an option) and the mend.
"""


class Fault(ValueError):  # noqa: N818 - it is the request that is at fault, not the program
    """A request that cannot be met as it stands; the message is one line for the person who made it."""
