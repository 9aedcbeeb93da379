"""Days, minutes and lists the way a teacher would say them."""

from collections.abc import Mapping, Sequence
from datetime import date
from decimal import Decimal

_WEEKS_FROM = 14
_SAID_BY_WEEKDAY = 7


def ago(day: date | None, today: date) -> str:
    """Return `today`, `yesterday`, `5 days ago`, `3 weeks ago` or `never`."""
    if day is None:
        return "never"
    days = (today - day).days
    if days <= 1:
        return "yesterday" if days == 1 else "today"
    if days < _WEEKS_FROM:
        return f"{days} days ago"
    return f"{days // 7} weeks ago"


def upcoming(day: date | None, today: date) -> str:
    """Return `today`, `tomorrow`, `Thursday` within a week, else `Thursday 3 December`."""
    if day is None:
        return ""
    days = (day - today).days
    if days in (0, 1):
        return "tomorrow" if days else "today"
    return f"{day:%A}" if 0 < days < _SAID_BY_WEEKDAY else f"{day:%A %-d %B}"


def due(day: date, today: date) -> str:
    """Return `due tomorrow`, `due Thursday`; "" once it is over, since no past date is a debt."""
    return f"due {upcoming(day, today)}" if day >= today else ""


def minutes(amount: Decimal | int) -> str:
    """Return `5 min`, `2.5 min`: without idle zeros."""
    return f"{plain(amount)} min"


def plain(amount: Decimal | int) -> str:
    """Return a number without idle zeros: `5`, `2.5`, `1,200`."""
    figures = f"{Decimal(amount):,f}"
    return figures.rstrip("0").rstrip(".") if "." in figures else figures


def count(number: int, one: str, many: str = "") -> str:
    """Return `1 fill`, `3 fills`, `1,204 fills`."""
    return f"{number:,} {one if number == 1 else many or one + 's'}"


def listed(names: Sequence[str]) -> str:
    """Return `Mira`, `Mira and Tom`, `Mira, Tom and Ada`."""
    *head, last = names
    return f"{', '.join(head)} and {last}" if head else last


def practised(entry: Mapping) -> str:
    """Return `5 min at 88, 4 of 5 clean, felt easy` for an entry's minutes, tempo and loops."""
    at = f" at {entry['tempo']}" if entry["tempo"] else ""
    parts = [minutes(Decimal(entry["minutes"])) + at, times_through(entry)]
    parts.append(f"felt {entry['felt']}" if entry["felt"] in ("easy", "good", "hard") else "")
    parts.append("something hurt" if entry["felt"] == "sore" else "")
    parts.append(f"“{entry['note']}”" if entry["note"] else "")
    return ", ".join(part for part in parts if part)


def times(number: int) -> str:
    """Return `once`, `twice`, `4 times`."""
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


def times_through(entry: Mapping) -> str:
    """Return `4 of 5 clean`, `5 times through`, or nothing."""
    loops, clean = entry["loops"], entry["clean_loops"]
    if loops is None:
        return ""
    return count(loops, "time") + " through" if clean is None else f"{clean} of {loops} clean"
