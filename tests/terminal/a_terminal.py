"""The program in a real pseudo-terminal: keys go in as bytes, and what is drawn comes back as rows of text.

Only as much of a terminal is here as the program's output needs; what a job kept is read from its file.
"""

from __future__ import annotations

import codecs
import fcntl
import os
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from types import TracebackType
from typing import Self

from rich.cells import cell_len

from runner.journal import read_rows

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_S = 20.0
"""Seconds after which something that was waited for will not come any more, on a busy machine too."""

# Gives the child the terminal as its own, so that closing it hangs up and a new size is told.
_OWN = "import fcntl, os, sys, termios; fcntl.ioctl(0, termios.TIOCSCTTY, 0); os.execv(sys.argv[1], sys.argv[1:])"
_TOKEN = re.compile(
    r"\x1b\[(?P<csi>[0-9;:<=>?]*[ -/]*[@-~])|\x1b\](?:[^\x07\x1b]*)(?:\x07|\x1b\\)|\x1b[P_^X][^\x1b]*\x1b\\"
    r"|\x1b[()][0-9A-Za-z]|\x1b[=>78cDEHM]|(?P<text>[^\x1b\r\n]+|[\r\n])",
    re.DOTALL,
)


class Screen:
    """Rows of text as a terminal shows them, from the bytes written to it."""

    def __init__(self, columns: int, rows: int) -> None:
        self._decode = codecs.getincrementaldecoder("utf-8")("replace")
        self._rest = ""
        self.size(columns, rows)

    def size(self, columns: int, rows: int) -> None:
        self.columns, self.rows = columns, rows
        self._cells = [[" "] * columns for _ in range(rows)]
        self._row = self._column = 0

    @property
    def text(self) -> str:
        return "\n".join("".join(line).rstrip() for line in self._cells)

    def take(self, data: bytes) -> None:
        text = self._rest + self._decode.decode(data)
        at = 0
        while match := _TOKEN.match(text, at):
            at = match.end()
            if match["csi"]:
                self._control(match["csi"])
            elif match["text"]:
                self._put(match["text"])
        # What is left begins with an escape that is not all there yet.
        self._rest = text[at:]

    def _control(self, told: str) -> None:
        numbers = [int(word) for word in re.findall(r"\d+", told)]
        if told[-1] in "Hf":
            row, column, *_ = [*numbers, 1, 1]
            self._row, self._column = row - 1, column - 1
        elif told[-1] == "J" and numbers == [2]:
            self.size(self.columns, self.rows)
        elif told[-1] == "K" and self._row < self.rows:
            line = self._cells[self._row]
            line[self._column :] = [" "] * len(line[self._column :])

    def _put(self, text: str) -> None:
        if text == "\n":
            self._row += 1
        elif text == "\r":
            self._column = 0
        elif cell_len(text) == len(text):
            if self._row < self.rows:
                line = self._cells[self._row]
                line[self._column : self._column + len(text)] = text
                del line[self.columns :]
            self._column += len(text)
        else:
            for sign in text:
                self._put_wide(sign)

    def _put_wide(self, sign: str) -> None:
        width = cell_len(sign)
        if self._row < self.rows and self._column + width <= self.columns:
            self._cells[self._row][self._column : self._column + width] = [sign, *[""] * (width - 1)]
        self._column += width


class Terminal:
    """`benchhand` with these words, in a terminal of this size. Use it in a `with`; it leaves nothing running."""

    def __init__(
        self,
        *words: str,
        jobs: Path,
        size: tuple[int, int] = (80, 24),
        env: Mapping[str, str] | None = None,
    ) -> None:
        self.screen = Screen(*size)
        self.drawn = bytearray()
        self._ours, theirs = os.openpty()
        self._tell_size(*size)
        keep = {name: value for name, value in os.environ.items() if name in ("PATH", "HOME", "LANG", "TZ")}
        self.process = subprocess.Popen(
            [sys.executable, "-ISc", _OWN, sys.executable, "-m", "runner", *words],
            cwd=jobs,
            env={
                **keep,
                "TERM": "xterm-256color",
                "PYTHONPATH": str(ROOT),
                "BENCHHAND_JOBS": str(jobs),
                **(env or {}),
            },
            stdin=theirs,
            stdout=theirs,
            stderr=theirs,
            start_new_session=True,
        )
        os.close(theirs)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, value: BaseException | None, at: TracebackType | None
    ) -> None:
        self.kill()
        self.hang_up()

    def _tell_size(self, columns: int, rows: int) -> None:
        fcntl.ioctl(self._ours, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

    def resize(self, columns: int, rows: int) -> None:
        self.screen.size(columns, rows)
        self._tell_size(columns, rows)

    def send(self, keys: str | bytes) -> None:
        """Keys in one write, as a gauge's cable or a remote shell delivers them."""
        data = keys.encode() if isinstance(keys, str) else keys
        while data:
            _, ready, _ = select.select([], [self._ours], [], 0.01)
            if ready:
                data = data[os.write(self._ours, data[:1000]) :]
            self._hear(0)

    def send_slowly(self, keys: str, apart_s: float) -> None:
        for key in keys:
            self.send(key)
            self.hear_for(apart_s)

    def _hear(self, within_s: float) -> None:
        ready, _, _ = select.select([self._ours], [], [], within_s)
        if not ready:
            return
        try:
            data = os.read(self._ours, 65536)
        except OSError:  # the program has gone and its terminal with it
            time.sleep(min(within_s, 0.01))
            return
        self.drawn += data
        self.screen.take(data)

    def hear_for(self, span_s: float) -> None:
        """Time goes by while the program draws."""
        until = time.monotonic() + span_s
        while (left := until - time.monotonic()) > 0:
            self._hear(left)

    def wait(self, condition: Callable[[], bool], what: str = "") -> None:
        until = time.monotonic() + PATIENCE_S
        while not condition():
            assert time.monotonic() < until, f"{what or 'it'} did not come:\n{self.screen.text}"
            self._hear(0.01)

    def wait_for(self, text: str) -> None:
        self.wait(lambda: text in self.screen.text, f"'{text}'")

    def is_alive(self) -> bool:
        return self.process.poll() is None

    def is_stopped(self) -> bool:
        status = Path(f"/proc/{self.process.pid}/stat").read_text(encoding="utf-8")
        return status.rpartition(")")[2].split()[0] == "T"

    def ends_within(self, span_s: float) -> int:
        """The exit code of a program that ends by itself within this time."""
        until = time.monotonic() + span_s
        while self.is_alive():
            assert time.monotonic() < until, f"still running after {span_s} s:\n{self.screen.text}"
            if self._ours >= 0:
                self._hear(0.01)
            else:
                time.sleep(0.01)
        return self.process.returncode

    def signal(self, number: int) -> None:
        self.process.send_signal(number)

    def kill(self) -> None:
        if self.is_alive():
            self.signal(signal.SIGKILL)
        self.process.wait()

    def hang_up(self) -> None:
        """The window is closed."""
        if self._ours >= 0:
            os.close(self._ours)
            self._ours = -1


def kinds(path: Path) -> list[str]:
    """The kinds of everything a job's file holds, in order."""
    return [row.kind for row in read_rows(path)]


def typed(path: Path) -> list[str]:
    """The readings a job's file holds, as they were typed."""
    return [str(row.body["typed"]) for row in read_rows(path) if row.kind == "reading-taken"]
