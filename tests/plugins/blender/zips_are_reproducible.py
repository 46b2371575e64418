"""Builds the plug-ins twice, in two places and with two dates, and compares what is the same."""

import os
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path


def build(script, folder, date=None):
    surroundings = {key: value for key, value in os.environ.items() if key != "SOURCE_DATE_EPOCH"}
    if date:
        surroundings["SOURCE_DATE_EPOCH"] = date
    subprocess.run(
        [sys.executable, script, folder], check=True, env=surroundings, stdout=subprocess.DEVNULL
    )
    return {path.name: path.read_bytes() for path in sorted(Path(folder).glob("*.zip"))}


with tempfile.TemporaryDirectory() as one, tempfile.TemporaryDirectory() as two:
    first, second = build(sys.argv[1], one), build(sys.argv[1], two)
    assert first and first == second, "the same sources gave other bytes"
    dated = build(sys.argv[1], two, "1700000000")
    assert dated != first, "SOURCE_DATE_EPOCH was not followed"
    with zipfile.ZipFile(Path(two) / "roomloom-blender.zip") as archive:
        names = archive.namelist()
        assert archive.infolist()[0].date_time == (2023, 11, 14, 22, 13, 20)
    for needed in ("__init__.py", "blender_manifest.toml", "LICENSE", "roomloom_files/__init__.py"):
        assert f"roomloom/{needed}" in names, needed
    assert not [name for name in names if "__pycache__" in name or name.endswith(".pyc")]
print("the same bytes twice")
