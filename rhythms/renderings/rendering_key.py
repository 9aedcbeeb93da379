"""A rendering's key, where it stands in an address."""


class RenderingKey:
    """64 digits in base 16, as `rendering_store.key_of` makes them; anything else is no address."""

    regex = "[0-9a-f]{64}"

    def to_python(self, value: str) -> str:
        return value

    def to_url(self, value: str) -> str:
        return value
