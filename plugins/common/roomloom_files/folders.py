"""The folder that one routing fills: whole, or not there."""

from __future__ import annotations

import json
import os
import shutil
import tempfile
from pathlib import Path
from typing import Mapping, Optional, Union

from .told import Told

JOB_FILE = "job.json"
RESULT_FOLDER = "result"
_MARK = "written-by-roomloom.txt"
_MARK_TEXT = (
    "A Roomloom plug-in wrote this folder and replaces it at the next routing.\n"
    "Copy what you want to keep.\n"
)


class WorkFolder:
    """A temporary folder beside `final` that takes its place in one step once all is well.

    It holds the exported model, the job and `result/`. Their paths to each other stay right when
    it is renamed as a whole. An older `final` stays as it was until `keep()`, and also when
    anything fails or is cancelled; a `final` that no plug-in wrote is never touched.

        work = WorkFolder("/home/me/hall-roomloom")
        work.path / "room.glb"          # write the model here
        work.write_job(job)
        ...
        work.keep()   or   work.drop()  # as a context manager: drop() unless kept

    Raises Told: folder.foreign, folder.write.
    """

    def __init__(self, final: Union[str, Path]):
        self.final = Path(final)
        self.kept = False
        self.job: Optional[dict] = None  #: as written by write_job
        if self.final.exists() and not (self.final / _MARK).is_file():
            is_empty = self.final.is_dir() and not any(self.final.iterdir())
            if not is_empty:
                raise Told(
                    "folder.foreign",
                    "There is something of that name which Roomloom did not write.",
                    str(self.final),
                    "Choose another result folder, or remove it first.",
                )
        try:
            self.final.parent.mkdir(parents=True, exist_ok=True)
            made = tempfile.mkdtemp(prefix=f".{self.final.name}-", dir=str(self.final.parent))
            self.path = Path(made)
            (self.path / _MARK).write_text(_MARK_TEXT, encoding="utf-8")
        except OSError as fault:
            raise _cannot_write(self.final.parent, fault)

    @property
    def job_path(self) -> Path:
        return self.path / JOB_FILE

    @property
    def result_path(self) -> Path:
        return self.path / RESULT_FOLDER

    def write_job(self, job: Mapping) -> Path:
        """Writes the job; returns its path. Keeps a copy as `self.job`."""
        self.job = dict(job)
        try:
            text = json.dumps(job, indent=2, ensure_ascii=False, allow_nan=False)
            self.job_path.write_text(text + "\n", encoding="utf-8")
        except OSError as fault:
            raise _cannot_write(self.job_path, fault)
        except ValueError:
            raise Told("job.number", "A number of the job is not finite.", str(self.job_path))
        return self.job_path

    def keep(self) -> Path:
        """Puts the folder in the place of `final`; returns `final`."""
        old = Path(tempfile.mkdtemp(prefix=f".{self.final.name}-old-", dir=str(self.final.parent)))
        try:
            if self.final.exists():
                os.replace(self.final, old / "was")
            os.replace(self.path, self.final)
        except OSError as fault:
            if (old / "was").exists() and not self.final.exists():
                os.replace(old / "was", self.final)
            raise _cannot_write(self.final, fault)
        finally:
            if self.final.exists():
                shutil.rmtree(old, ignore_errors=True)
        os.chmod(self.final, 0o755)  # mkdtemp makes it private
        self.path, self.kept = self.final, True
        return self.final

    def drop(self) -> None:
        """Removes the temporary folder; what was at `final` before stays."""
        if not self.kept:
            shutil.rmtree(self.path, ignore_errors=True)

    def __enter__(self) -> "WorkFolder":
        return self

    def __exit__(self, *_: object) -> None:
        self.drop()


def _cannot_write(where: Path, fault: OSError) -> Told:
    return Told(
        "folder.write",
        f"This cannot be written ({fault.strerror or fault}).",
        str(where),
        "Choose a folder where you may write, with room on the disk.",
    )
