"""Finding a free port on this machine."""

import errno
import os
import socket

from workbook.launcher import messages

HOST = "127.0.0.1"
FIRST_PORT = 8888
TRIES = 100


def problem(port: int) -> OSError | None:
    """Try to listen on the port for a moment. Returns None when it is free, else the system's error."""
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
        if os.name == "posix":
            # As the server itself will do: a port that was left a minute ago counts as free.
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
            probe.listen(1)
        except OSError as error:
            return error
    return None


def choose(asked: int | None) -> int:
    """Give the port to listen on.

    asked   : the port that the person chose, or None for the first free one from 8888
    returns : a free port
    errors  : messages.Halt when the port is taken or not allowed, or none is free
    """
    if asked is None:
        for port in range(FIRST_PORT, FIRST_PORT + TRIES):
            if problem(port) is None:
                return port
        raise messages.port_taken(FIRST_PORT, asked=False)
    error = problem(asked)
    if error is None:
        return asked
    if error.errno == errno.EACCES:
        raise messages.port_forbidden(asked)
    raise messages.port_taken(asked, asked=True)
