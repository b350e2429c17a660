"""A question that is being answered by a process of its own, so that it can be watched and stopped."""

from __future__ import annotations

import os
import queue
import subprocess
import sys
import threading
import time
from contextlib import suppress
from pathlib import Path
from typing import Any

import loadcalc
from loadcalc.model.loadout import Loadout
from loadcalc.model.vehicle import Vehicle
from loadcalc.plan.advice.allowed import AdviceRules
from loadcalc.plan.advice.solve import TIME_LIMIT_S
from loadcalc.plan.advice.worker import DONE, REFUSED, SAID, receive, send

ROOT = Path(loadcalc.__file__).resolve().parents[1]
BROKE = "the search ended without an answer"


class Job:
    """One question on its way.

    Call `look` now and then. said : what came on the way, oldest first; answer : once it is done; refused : why there
    is none; stopped : by whoever asked.
    """

    def __init__(
        self,
        kind: str,
        vehicle: Vehicle,
        loadout: Loadout,
        rules: AdviceRules | None = None,
        *,
        time_limit_s: float = TIME_LIMIT_S,
    ) -> None:
        self.kind, self.time_limit_s = kind, time_limit_s
        self.said: list[Any] = []
        self.answer: Any = None
        self.refused = ""
        self.done = self.stopped = False
        self._started = time.monotonic()
        self._messages: queue.Queue[tuple[str, Any] | None] = queue.Queue()
        path = os.pathsep.join(filter(None, (str(ROOT), os.environ.get("PYTHONPATH"))))
        self._process = subprocess.Popen(
            [sys.executable, "-m", "loadcalc.plan.advice.worker"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            env=os.environ | {"PYTHONPATH": path},
        )
        assert self._process.stdin is not None
        with suppress(OSError):  # it ended at once: the reader hears that
            send(self._process.stdin, kind, (vehicle, loadout, rules, time_limit_s))
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()

    @property
    def elapsed_s(self) -> float:
        """How long it has been at it [s]."""
        return time.monotonic() - self._started

    def look(self) -> bool:
        """Take in what has come; returns whether it is done, by an answer, a refusal, or a stop."""
        while not self.done:
            try:
                message = self._messages.get_nowait()
            except queue.Empty:
                return False
            self._take(message)
        return True

    def stop(self) -> None:
        """End the search now; what was said on the way stays."""
        self.stopped = not self.done
        self.done = True
        self._close()

    def wait(self, timeout_s: float | None = None) -> Any:
        """Wait for the answer and return it; None when it was refused or time ran out.

        Parameters
        ----------
        timeout_s : then it is stopped [s]; None: as long as it takes.
        """
        deadline = None if timeout_s is None else time.monotonic() + timeout_s
        while not self.look():
            left = 0.5 if deadline is None else min(0.5, deadline - time.monotonic())
            if left <= 0:
                self.stop()
                break
            try:
                self._take(self._messages.get(timeout=left))
            except queue.Empty:
                continue
        return self.answer

    def _take(self, message: tuple[str, Any] | None) -> None:
        kind, content = message or (REFUSED, BROKE)
        if kind == SAID:
            self.said.append(content)
            return
        if kind == DONE:
            self.answer = content
        else:
            self.refused = content
        self.done = True
        self._close()

    def _read(self) -> None:
        stream = self._process.stdout
        assert stream is not None
        try:
            while (message := receive(stream)) is not None:
                self._messages.put(message)
        except (OSError, EOFError, ValueError):
            pass  # it was stopped in the middle of a message
        self._messages.put(None)

    def _close(self) -> None:
        self._process.kill()
        self._reader.join(5.0)
        self._process.wait(5.0)
        for stream in (self._process.stdin, self._process.stdout):
            with suppress(OSError):  # an ended process's input may be gone already
                if stream is not None:
                    stream.close()
