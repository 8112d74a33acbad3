"""Drawings as SVG text: pure functions from plain dataclasses. One ink-line hand, target up the page, doubt drawn."""
