"""A two-segment swing with exact truth, and sensors with every fault we know."""
