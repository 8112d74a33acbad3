"""From raw sensor signals to segment orientation: recording, quality, calibration, orientation."""
