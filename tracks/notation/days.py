"""Days in words, as papers and pages say them: in the language of the papers, whatever the system's is."""

from datetime import date

_MONTHS = (
    *("January", "February", "March", "April", "May", "June", "July"),
    *("August", "September", "October", "November", "December"),
)
_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


def in_words(day: date) -> str:
    """Return a day like `March 9, 2026`."""
    return f"{_MONTHS[day.month - 1]} {day.day}, {day.year}"


def with_weekday(day: date) -> str:
    """Return a day like `Monday, March 9, 2026`."""
    return f"{weekday(day)}, {in_words(day)}"


def weekday(day: date) -> str:
    """Return the day of the week, in full."""
    return _WEEKDAYS[day.weekday()]
