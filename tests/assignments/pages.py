"""Pages by their names, and what they say."""

from django.urls import reverse


def address(name: str, *parts) -> str:
    """Of the page, for these things or plain values."""
    return reverse(f"assignments:{name}", args=[getattr(part, "pk", part) for part in parts])


def text(response) -> str:
    """The page with white space as a browser shows it."""
    return " ".join(response.content.decode().split())
