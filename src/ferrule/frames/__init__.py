"""Frames and signs: the target frame, segment frames, both wrist conventions, handedness, quaternion order.

Target frame: right-handed, X to the target, Y up, Z to the right of someone looking at the target. Segments after the
ISB recommendation (Wu et al. 2005, doi:10.1016/j.jbiomech.2004.05.042): Y proximal, X volar, Z = X x Y.
"""
