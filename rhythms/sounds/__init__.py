"""The kit's sounds as files over the wire."""
