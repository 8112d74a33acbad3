"""Rows and recordings kept."""
