"""The time that goes into a record."""

from datetime import datetime


def now() -> datetime:
    """Give the local time with its offset."""
    return datetime.now().astimezone()
