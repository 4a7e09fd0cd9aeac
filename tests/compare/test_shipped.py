"""The usual stages travel inside the wheel, and are read from one that stays packed."""

import os
import subprocess
import sys
from pathlib import Path
from zipfile import ZipFile

ROOT = Path(__file__).parents[2]
PLACE = "tracegraph/compare/patterns"
COUNT = "from tracegraph.compare.library import patterns; print(len(patterns()))"


def test_the_usual_stages_are_read_from_a_wheel_that_stays_packed(
    tmp_path: Path,
) -> None:
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d"]
    subprocess.run([*build, str(tmp_path)], cwd=ROOT, capture_output=True, check=True)
    (wheel,) = tmp_path.glob("*.whl")
    own = sorted(path.name for path in (ROOT / PLACE).glob("*.trace"))
    with ZipFile(wheel) as packed:
        shipped = [name for name in packed.namelist() if name.startswith(PLACE)]
    assert sorted(name.rpartition("/")[2] for name in shipped) == own
    done = subprocess.run(
        [sys.executable, "-c", COUNT],
        cwd=tmp_path,
        env={
            **os.environ,
            "PYTHONPATH": str(wheel),
            "XDG_CACHE_HOME": str(tmp_path),
        },
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stdout.strip() == str(len(own)), done.stderr
