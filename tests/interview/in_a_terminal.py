"""in_a_terminal.py ROOMLOOM: drives `roomloom start` through a pseudo-terminal."""

import fcntl
import os
import pathlib
import pty
import re
import select
import signal
import struct
import subprocess
import sys
import tempfile
import termios
import time

PROGRAM = sys.argv[1]


# Nobody's house file is to change what is asked.
os.environ["ROOMLOOM_HOUSE"] = "none"

QUESTIONS = (
    ("in metres or in feet", "feet"), ("be called", "Attic"), ("front wall", "11 ft"),
    ("left wall", "12' 6\""), ("back wall", ""), ("right wall", ""), ("back right one", "?"),
    ("back left one", "?"), ("angle of any corner", ""), ("ceiling that you see", "8 ft"),
    ("suspended ceiling", "yes"), ("above the tiles", "?"), ("to what is above", ""),
    ("a tile", ""), ("tiles along the left wall", "?"), ("tiles along the front wall", ""), ("inside the walls", "none"), ("many doors", "0"), ("many windows", "0"),
    ("amplifier stand", ""), ("middle of the rack", "5 ft"), ("Which loudspeaker layout", "0+2+0"),
    ("do you sit", "8 ft"), ("subwoofers", "1"), ("screen or television", "no"),
    ("projector", "no"), ("network outlets", "0"), ("loudspeaker cable", "100 ft"))


def fits(said, columns):
    for line in said.splitlines():
        assert len(line) <= columns, f"wider than the window of {columns}: {line!r}"


class Terminal:
    """A program behind a terminal of `columns`; what it wrote so far is in `seen`."""

    def __init__(self, folder, columns):
        self.pid, self.end = pty.fork()
        if self.pid == 0:
            time.sleep(0.1)  # the window has its size before the program looks
            os.chdir(folder.parent)  # a path that is wider than the window is nobody's fault
            os.execv(PROGRAM, [PROGRAM, "start", folder.name])
        fcntl.ioctl(self.end, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
        self.seen = ""

    def until(self, text):
        """Reads on until `text` was written; fails after a minute of silence."""
        words = re.compile(r"\s+".join(re.escape(word) for word in text.split()))  # broken lines
        while not words.search(self.seen):
            if not select.select([self.end], [], [], 60)[0]:
                raise AssertionError(f"waited for {text!r}, saw {self.seen[-400:]!r}")
            try:
                more = os.read(self.end, 65536)
            except OSError:
                more = b""
            if not more:
                raise AssertionError(f"ended before {text!r}, saw {self.seen[-400:]!r}")
            self.seen += more.decode()
        at = words.search(self.seen).end()
        before, self.seen = self.seen[:at], self.seen[at:]
        return before

    def type(self, keys):
        os.write(self.end, keys.encode())

    def answer(self, question, keys):
        said = self.until(question) + self.until("> ")
        self.type(keys + "\r")
        return said

    def rest(self):
        while True:
            try:
                more = os.read(self.end, 65536)
            except OSError:
                more = b""
            if not more:
                break
            self.seen += more.decode()
        return os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1]), self.seen


def first_sitting(folder):
    """Typed with a slip, a narrow window, then broken off with Ctrl-C."""
    terminal = Terminal(folder, 44)
    fits(terminal.answer("in metres or in feet", "feet"), 44)
    terminal.answer("be called", "Atticc\x7f")  # backspace
    terminal.answer("front wall", "about")
    terminal.answer("length", "11 ft")
    terminal.answer("left wall", "12' 6\"")
    terminal.until("back wall")
    terminal.type("\x03")
    status, _ = terminal.rest()
    assert status == -signal.SIGINT, status
    kept = (folder / "answers.txt").read_text()
    assert "name: Attic\n" in kept and "wall_front: 11 ft\n" in kept and "12' 6" in kept, kept


def second_sitting(folder):
    """Enter takes what was kept; the rest is answered, some of it with don't know."""
    terminal = Terminal(folder, 80)
    kept = {"in metres or in feet", "be called", "front wall", "left wall"}
    for question, keys in QUESTIONS:
        said = terminal.answer(question, "" if question in kept else keys)
        fits(said, 80)
        assert question != "be called" or "[Attic]" in said, said
    status, said = terminal.rest()
    assert status == 0, (status, said)
    fits(said, 80)
    assert "How long to cut" in said and "on the shelf" in said, said
    for name in ("room.json", "job.json", "room.glb", "measuring-sheet.pdf", "first-answer.txt"):
        assert (folder / name).exists(), name


def sittings_in_narrow_windows(folder):
    """Every question and the answer, with Enter only: no line is wider than the window."""
    for columns in (80, 60, 40):
        terminal = Terminal(folder, columns)
        for question, _ in QUESTIONS:
            fits(terminal.answer(question, ""), columns)
        status, said = terminal.rest()
        assert status == 0, (status, said)
        fits(said, columns)
        assert "How long to cut" in said and "Next: roomloom" in said, said


def killed_at_every_prompt(folder):
    """A sitting a prompt: what was kept is passed with Enter, one more is answered, then the
    program is killed. Nothing that was answered is ever lost."""
    for given in range(len(QUESTIONS) - 1):
        terminal = Terminal(folder, 72)
        for at, (question, keys) in enumerate(QUESTIONS[:given + 1]):
            fits(terminal.answer(question, keys if at == given else ""), 72)
        terminal.until(QUESTIONS[given + 1][0])  # the next one is asked
        os.kill(terminal.pid, signal.SIGKILL)
        terminal.rest()
        kept = (folder / "answers.txt").read_text().splitlines()
        answers = [line for line in kept if ": " in line and not line.startswith("version")]
        assert len(answers) == given + 1, (given, kept)
    assert "name: Attic" in kept and "void_depth: don't know" in kept, kept


def from_answers_to_cut_list(folder):
    """The whole way by a filled-in sheet; the time is told, not judged."""
    start = time.monotonic()
    run = [PROGRAM, "start", str(folder), "--answers", str(folder / "answers.txt"), "--quiet"]
    subprocess.run(run, check=True)
    first = time.monotonic() - start
    subprocess.run([PROGRAM, "route", str(folder / "job.json"), "-o", str(folder / "plan"),
                    "--quiet"], check=False)
    lengths = (folder / "plan" / "lengths.csv").read_text().splitlines()
    assert len(lengths) == 4, lengths
    print(f"first answer after {first:.1f} s, cut list after {time.monotonic() - start:.1f} s")


with tempfile.TemporaryDirectory() as work:
    room = pathlib.Path(work) / "room"
    first_sitting(room)
    second_sitting(room)
    sittings_in_narrow_windows(room)
    killed_at_every_prompt(pathlib.Path(work) / "killed")
    from_answers_to_cut_list(room)
print("typed, broken off, resumed, killed at every prompt")
