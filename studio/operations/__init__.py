"""What who runs a studio looks at: the log, the state of its parts, and numbers over time.

Nothing of it names a person or holds a secret.
"""
