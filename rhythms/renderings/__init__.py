"""Engravings and files as pages ask for them, made by the worker."""
