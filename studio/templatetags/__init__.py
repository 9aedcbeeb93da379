"""Filters that every template may use."""
