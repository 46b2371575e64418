"""Running the program without waiting for it."""

from __future__ import annotations

import json
import os
import signal
import subprocess
from typing import Callable, List, Optional

from .folders import WorkFolder
from .program import Program, clean_environment
from .results import Result, read_result
from .told import Told

RUNNING, DONE, FAILED, CANCELLED = "running", "done", "failed", "cancelled"

#: The program's stages in order; `Routing.share` counts them. A stage of another name is shown
#: without moving the bar.
STAGES = (
    "reading the job",
    "reading the model",
    "understanding the room",
    "placing the ends",
    "laying the tracks",
    "routing",
    "shaping the cables",
    "taking off",
    "writing the models",
    "writing the lists",
    "checking what was written",
    "drawing the sheets",
    "writing the page",
)


class Routing:
    """One run of `roomloom route` in a WorkFolder that holds a job and a model.

    The program's output goes to files of that folder, so that nothing can block; poll() looks at
    them and returns at once. Call it from the host's timer, about ten times a second.

    state   RUNNING, DONE, FAILED or CANCELLED
    stage   what the program is at, in its own words
    share   0 to 1, for a progress bar: stages passed, not time
    """

    def __init__(
        self,
        program: Program,
        work: WorkFolder,
        *,
        effort: str = "normal",
        drawings: bool = True,
        units: Optional[str] = None,
    ):
        """Starts the program. units: "metric" or "feet" for printed lists.

        Raises Told program.start.
        """
        self.work, self.state, self.stage, self.share = work, RUNNING, "starting", 0.0
        self._error: Optional[Told] = None
        command = [program.path, "route", str(work.job_path), "-o", str(work.result_path)]
        command += ["--json", "--progress", "--effort", effort]
        command += [] if drawings else ["--no-drawings"]
        command += ["--units", units] if units else []
        self._out_path, self._err_path = work.path / "output.txt", work.path / "progress.txt"
        try:
            with open(self._out_path, "wb") as out, open(self._err_path, "wb") as err:
                self._process = subprocess.Popen(
                    command,
                    stdin=subprocess.DEVNULL,
                    stdout=out,
                    stderr=err,
                    env=clean_environment(),
                    start_new_session=os.name == "posix",
                )
        except OSError as fault:
            reason = fault.strerror or str(fault)
            raise Told(
                "program.start", f"The program cannot be started ({reason}).", program.path
            ) from None

    def poll(self) -> str:
        """Looks how far the program is; returns the state. Never waits."""
        if self.state != RUNNING:
            return self.state
        status = self._process.poll()
        self._read_stage()
        if status is None:
            return RUNNING
        self._error = None if status in (0, 1) else self._failure(status)
        self.state = FAILED if self._error else DONE
        return self.state

    def cancel(self) -> None:
        """Ends the program and what it started, and removes the folder; the older result stays."""
        if self.state == RUNNING:
            self._end()
            self.state = CANCELLED
        self.work.drop()

    def finish(self, inspect: Optional[Callable[[Result], object]] = None) -> Result:
        """Reads the result, then puts its folder in the place of the older one.

        inspect  called with the result while the older one is still there; may raise Told to
                 refuse it, when a host cannot read the files that it draws from
        Raises Told: the program's own error, result.broken, folder.write, routing.cancelled;
        the older result then stays as it was, and the new folder is gone.
        """
        try:
            if self.state == RUNNING:
                raise Told("routing.running", "The program has not finished.")
            if self.state == CANCELLED:
                raise Told("routing.cancelled", "The routing was cancelled.")
            if self._error:
                raise self._error
            result = read_result(self.work.path)
            if inspect:
                inspect(result)
            for scratch in (self._out_path, self._err_path):
                scratch.unlink()
            return read_result(self.work.keep())
        except OSError as fault:
            raise Told("folder.write", f"This cannot be written ({fault.strerror}).") from None
        finally:
            if self.state != RUNNING:
                self.work.drop()

    def wait(self, seconds: float = 600) -> str:
        """For scripts without a timer: waits for the end; cancels when the time is over."""
        try:
            self._process.wait(timeout=seconds)
        except subprocess.TimeoutExpired:
            self.cancel()
        return self.poll()

    def _end(self) -> None:
        try:
            if os.name == "posix":
                os.killpg(self._process.pid, signal.SIGKILL)
            else:
                self._process.kill()
        except OSError:
            pass  # it has just ended by itself
        self._process.wait()

    def _lines(self) -> List[str]:
        try:
            return self._err_path.read_text(encoding="utf-8", errors="replace").splitlines()
        except OSError:
            return []

    def _read_stage(self) -> None:
        stages = [line[len("stage: ") :] for line in self._lines() if line.startswith("stage: ")]
        if not stages:
            return
        self.stage = stages[-1]
        if self.stage in STAGES:
            self.share = (STAGES.index(self.stage) + 1) / (len(STAGES) + 1)

    def _failure(self, status: int) -> Told:
        text = self._out_path.read_text(encoding="utf-8", errors="replace")
        try:
            error = json.loads(text)["error"]
            words = [str(error.get(key, "")) for key in ("code", "what", "where", "remedy")]
            # The folder is a temporary one: its path would tell nobody anything.
            return Told(*(word.replace(str(self.work.path) + os.sep, "") for word in words))
        except (ValueError, KeyError, TypeError, AttributeError):
            pass
        said = " ".join(line for line in self._lines() if not line.startswith("stage: "))
        if status < 0:
            what = f"The program was ended by signal {-status} while {self.stage}."
        else:
            what = f"The program stopped with status {status} while {self.stage}."
        return Told("program.fault", f"{what} {said}".strip(), "", "Please report it with the job.")
