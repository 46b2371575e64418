"""What the tests of the shared plug-in code have in common."""

import os
import stat
import sys
import tempfile
import textwrap
import unittest
from pathlib import Path

REPOSITORY = Path(__file__).resolve().parents[3]
sys.path.insert(0, str(REPOSITORY / "plugins" / "common"))

PROGRAM = os.environ.get("ROOMLOOM_PROGRAM", "")


def needs_program(test):
    """Skips a test where the built program is not named by ROOMLOOM_PROGRAM."""
    return unittest.skipUnless(PROGRAM and Path(PROGRAM).is_file(), "ROOMLOOM_PROGRAM is not set")(
        test
    )


class InTemporaryFolder(unittest.TestCase):
    def setUp(self):
        holder = tempfile.TemporaryDirectory()
        self.addCleanup(holder.cleanup)
        self.folder = Path(holder.name)

    def pretend_program(self, body, name="roomloom"):
        """A program in Python that answers --version as ours and else does what `body` says."""
        path = self.folder / name
        path.write_text(
            f"#!{sys.executable}\n"
            + textwrap.dedent(
                """\
                import sys, time, json, pathlib
                if sys.argv[1:] == ["--version"]:
                    print("roomloom 0.1.0")
                    sys.exit(0)
                """
            )
            + textwrap.dedent(body)
        )
        path.chmod(path.stat().st_mode | stat.S_IXUSR)
        return str(path)


def box_room(width=4.0, depth=5.0, height=2.6):
    """Six single faces of a room from the origin, as (name, four corners, facing inward)."""
    w, d, h = width, depth, height
    return [
        ("Floor", [(0, 0, 0), (w, 0, 0), (w, d, 0), (0, d, 0)]),
        ("Ceiling", [(0, 0, h), (0, d, h), (w, d, h), (w, 0, h)]),
        ("Wall front", [(0, d, 0), (w, d, 0), (w, d, h), (0, d, h)]),
        ("Wall back", [(0, 0, 0), (0, 0, h), (w, 0, h), (w, 0, 0)]),
        ("Wall left", [(0, 0, 0), (0, d, 0), (0, d, h), (0, 0, h)]),
        ("Wall right", [(w, 0, 0), (w, 0, h), (w, d, h), (w, d, 0)]),
    ]
