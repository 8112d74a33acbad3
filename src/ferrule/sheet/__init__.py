"""The golfer's sheet."""
