"""run_in_freecad.py FOLDER SCRIPT HOST...: runs a test script inside FreeCAD, as installed.

Builds the workbench, puts it into the Mod folder of an empty user folder, and starts the host: either
freecadcmd, or xvfb-run and freecad. FreeCAD ends with status 0 whatever happens inside, so the script
leaves its status in a file; no file is a failure.
"""

import os
import pathlib
import shutil
import subprocess
import sys

HERE = pathlib.Path(__file__).resolve().parent
REPOSITORY = HERE.parents[2]
SCREEN = ["-a", "-s", "-screen 0 1280x800x24"]


def install(folder):
    """An empty user folder of FreeCAD with the workbench in it."""
    home = folder / "home"
    shutil.rmtree(home, ignore_errors=True)
    built = folder / "built"
    subprocess.run(
        [sys.executable, str(REPOSITORY / "scripts" / "plugins"), str(built)], check=True
    )
    (home / "Mod").mkdir(parents=True)
    shutil.copytree(built / "roomloom-freecad" / "Roomloom", home / "Mod" / "Roomloom")
    return home


def main():
    folder, script = pathlib.Path(sys.argv[1]), pathlib.Path(sys.argv[2])
    host = sys.argv[3:]
    if len(host) > 1:
        host = [host[0], *SCREEN, *host[1:]]
    folder.mkdir(parents=True, exist_ok=True)
    status_file = folder / "status.txt"
    status_file.unlink(missing_ok=True)
    environment = {
        **os.environ,
        "FREECAD_USER_HOME": str(install(folder)),
        "ROOMLOOM_TEST_FOLDER": str(folder),
        "ROOMLOOM_TEST_STATUS": str(status_file),
        "ROOMLOOM_TESTS": str(HERE),
        "ROOMLOOM_REPOSITORY": str(REPOSITORY),
        "QTWEBENGINE_DISABLE_SANDBOX": "1",
        "LC_ALL": "C.UTF-8",
    }
    subprocess.run([*host, str(script)], env=environment, check=False, timeout=850, cwd=str(folder))
    if not status_file.exists():
        print("FreeCAD ended without a result", file=sys.stderr)
        return 1
    return int(status_file.read_text(encoding="utf-8"))


sys.exit(main())
