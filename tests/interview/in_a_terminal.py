"""in_a_terminal.py ROOMLOOM: drives `roomloom start` through a pseudo-terminal."""

import fcntl
import os
import pathlib
import pty
import select
import signal
import struct
import sys
import tempfile
import termios

PROGRAM = sys.argv[1]


class Terminal:
    """A program behind a terminal of `columns`; what it wrote so far is in `seen`."""

    def __init__(self, folder, columns):
        self.pid, self.end = pty.fork()
        if self.pid == 0:
            os.execv(PROGRAM, [PROGRAM, "start", str(folder)])
        fcntl.ioctl(self.end, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
        self.seen = ""

    def until(self, text):
        """Reads on until `text` was written; fails after a minute of silence."""
        while text not in self.seen:
            if not select.select([self.end], [], [], 60)[0]:
                raise AssertionError(f"waited for {text!r}, saw {self.seen[-400:]!r}")
            try:
                more = os.read(self.end, 65536)
            except OSError:
                more = b""
            if not more:
                raise AssertionError(f"ended before {text!r}, saw {self.seen[-400:]!r}")
            self.seen += more.decode()
        at = self.seen.index(text) + len(text)
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
    said = terminal.answer("in metres or in feet", "feet")
    for line in said.splitlines():
        if "measuring-sheet" in line:  # a path is not broken
            continue
        assert len(line) <= 44, f"wider than the window: {line!r}"
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
    terminal.answer("in metres or in feet", "")
    assert "[Attic]" in terminal.answer("be called", "")
    for question, keys in (("front wall", ""), ("left wall", ""), ("back wall", ""),
                           ("right wall", ""), ("back right one", "?"), ("back left one", "?"),
                           ("ceiling that you see", "8 ft"), ("suspended ceiling", "yes"),
                           ("above the tiles", "?"), ("a tile", ""), ("inside the walls", "none"),
                           ("many doors", "0"), ("many windows", "0"), ("amplifier stand", ""),
                           ("middle of the rack", "5 ft"), ("Which loudspeaker layout", "0+2+0"),
                           ("do you sit", "8 ft"), ("subwoofers", "1"), ("projector", "no"),
                           ("network outlets", "0"), ("loudspeaker cable", "100 ft")):
        terminal.answer(question, keys)
    status, said = terminal.rest()
    assert status == 0, (status, said)
    assert "How long to cut" in said and "on the shelf" in said, said
    for name in ("room.json", "job.json", "room.glb", "measuring-sheet.pdf", "first-answer.txt"):
        assert (folder / name).exists(), name


with tempfile.TemporaryDirectory() as work:
    room = pathlib.Path(work) / "room"
    first_sitting(room)
    second_sitting(room)
print("typed, broken off, resumed")
