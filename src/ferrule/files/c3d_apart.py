"""Reads one C3D file with ezc3d in a process of its own: `python c3d_apart.py FILE OUT PARENT`, OUT an .npz beside FILE.

The library is C++ and may stop the whole process on a damaged file (seen with a wrong data type or count in the parameter
section); so it never runs inside the workbench. Stands alone: nothing of ferrule is loaded, which keeps its start short.
The folder of both files is its parent's, who clears it away; where PARENT was ended meanwhile, it is cleared away here.
"""

import os
import shutil
import sys
from pathlib import Path


def main(place: str, out: str) -> int:
    """Write points (4, m, n), residuals (m, n), labels, rate and units. 1 with the reason on stderr when it cannot."""
    import ezc3d
    import numpy as np

    try:
        file = ezc3d.c3d(place)
        point = file["parameters"]["POINT"]
        np.savez(
            out,
            points=np.asarray(file["data"]["points"], dtype=np.float64),
            residuals=np.asarray(file["data"]["meta_points"]["residuals"], dtype=np.float64)[0],
            labels=np.array([str(x).strip() for x in point["LABELS"]["value"]], dtype=np.str_),
            rate=float(point["RATE"]["value"][0]),
            units=np.array([str(x).strip().lower() for x in point.get("UNITS", {}).get("value", [])], dtype=np.str_),
        )
    except Exception as error:  # whatever the library or a strange file makes of it is told in words
        sys.stderr.write(str(error))
        return 1
    return 0


if __name__ == "__main__":
    done = main(*sys.argv[1:3])
    if os.name == "posix" and os.getppid() != int(sys.argv[3]):  # elsewhere the number tells nothing
        shutil.rmtree(Path(sys.argv[2]).parent, ignore_errors=True)
    sys.exit(done)
