"""`python -m loadcalc.plan.advice.worker`: answer one question for the process that started this one.

The question comes in on standard input, pickled; what is known on the way and the answer go out on standard output.
A process can be ended in the middle of a search, which a thread can't.
"""

from __future__ import annotations

import os
import pickle
import struct
import sys
import threading
from typing import IO, Any

from loadcalc.model.errors import LoadcalcError

LENGTH = struct.Struct("<Q")
SAID, DONE, REFUSED = "said", "done", "refused"


def send(stream: IO[bytes], kind: str, content: Any) -> None:
    """Write one message: its length, then (kind, content)."""
    body = pickle.dumps((kind, content))
    stream.write(LENGTH.pack(len(body)) + body)
    stream.flush()


def receive(stream: IO[bytes]) -> tuple[str, Any] | None:
    """Read one message; None at the end of the stream."""
    head = stream.read(LENGTH.size)
    if len(head) < LENGTH.size:
        return None
    body = stream.read(LENGTH.unpack(head)[0])
    message: tuple[str, Any] = pickle.loads(body)
    return message


def main() -> None:
    """Answer, and end at once when the process that asked has gone."""
    out = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(
        sys.stderr.fileno(), sys.stdout.fileno()
    )  # whatever a library prints must not get between messages
    asked = receive(sys.stdin.buffer)
    if asked is None:
        return
    threading.Thread(target=_end_with_asker, daemon=True).start()
    kind, (vehicle, loadout, rules, time_limit_s) = asked
    try:
        from loadcalc.plan.advice.answers import answer
        from loadcalc.plan.advice.problem import Problem

        problem = Problem(vehicle, loadout, rules)
        found = answer(kind, problem, lambda said: send(out, SAID, said), time_limit_s)
        send(out, DONE, found)
    except LoadcalcError as error:
        send(out, REFUSED, str(error))


def _end_with_asker() -> None:
    sys.stdin.buffer.read()
    os._exit(0)


if __name__ == "__main__":
    main()
