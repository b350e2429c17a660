"""Running JupyterLab on the working copies of the pages, for one person on this machine.

Only imported inside `.venv`. What can be fixed in a file is fixed in `labconfig/` (no news, no update checks, no
catalog of extensions); what is known only at the start is set here.
"""

import datetime
import logging
import os
import secrets
import shlex
import shutil
import signal
from collections.abc import Callable
from pathlib import Path
from typing import Any

from workbook.launcher import pages, season
from workbook.launcher.messages import Halt, say
from workbook.launcher.ports import HOST

LAUNCHER = Path(__file__).resolve().parent
PAGES = season.HOME / "pages"
OWN = season.HOME / ".jupyter"  # settings, signatures and history of this workbook's JupyterLab alone
START_PAGE = "00-start.ipynb"


def serve(*, season_folder: Path, port: int, browser: bool) -> int:
    """Prepare season and pages, run the server until Ctrl-C. Returns the exit code.

    season_folder : the season that the pages show
    port          : a free port on this machine
    browser       : whether to open a browser
    errors        : Halt when the season or the pages can't be prepared
    """
    season.prepare(season_folder)
    os.environ.update(variables(season_folder))
    try:
        names = pages.refresh(pages.FOLDER_OF_PAGES, PAGES, datetime.date.today())
        shutil.rmtree(OWN / "workspaces", ignore_errors=True)  # a start opens one page, not last week's ten
        (OWN / "data").mkdir(parents=True, exist_ok=True)
        pages.sign(PAGES, names, OWN / "data")
    except OSError as error:
        raise Halt(f"The pages could not be copied into {PAGES}: {error}") from error

    # Imported after the variables are set: Jupyter reads some of them while it is imported.
    from jupyterlab.labapp import LabApp
    from traitlets.config import Config

    # A browser tab that closes while something is being sent to it is everyday, and no news for a person.
    logging.getLogger("asyncio").setLevel(logging.CRITICAL)
    token = secrets.token_hex(24)
    told = {"loadoutPages": pages.row(PAGES, names), "loadoutCommand": command_again(season_folder, port)}
    server = LabApp.initialize_server(argv=[], config=Config(settings(told, port, token, browser)))
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):  # SIGHUP: the terminal window was closed; Windows has none
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), _closer(server))
    address = f"http://{HOST}:{port}/lab/tree/{START_PAGE}?token={token}"
    server.io_loop.add_callback(server.kernel_manager.prepare)
    server.io_loop.add_callback(announce, address, browser)  # called by the loop: by then the server answers
    server.start()
    say("The workbook is closed. Your season is kept; see you on the next trip.")
    return 0


def variables(season_folder: Path) -> dict[str, str]:
    """Environment for the server and for the pages' kernels.

    Folders of its own keep a person's other Jupyter and IPython settings, extensions and open tabs out of the
    workbook, and the workbook out of theirs.
    """
    return {
        "LOADOUT_SEASON": str(season_folder),
        "JUPYTER_CONFIG_PATH": str(LAUNCHER),
        "JUPYTER_PATH": str(LAUNCHER),
        "JUPYTER_CONFIG_DIR": str(OWN),
        "JUPYTER_DATA_DIR": str(OWN / "data"),
        "JUPYTER_RUNTIME_DIR": str(OWN / "runtime"),
        "JUPYTER_PREFER_ENV_PATH": "1",  # the kernel of .venv comes before any other
        "PYTHONSAFEPATH": "1",  # what lies beside a page is data: a plotly.py there is not imported
        "IPYTHONDIR": str(OWN / "ipython"),
    }


def command_again(season_folder: Path, port: int) -> str:
    """The command that brings the workbook back, where the open pages find it: same season, same address.

    season_folder : the season that the pages show
    port          : the port that they know
    """
    own = [] if season_folder == season.DEMO else ["--season", str(season_folder)]
    return shlex.join(["python3", "-m", "workbook", "--no-browser", "--port", str(port), *own])


def settings(told: dict[str, Any], port: int, token: str, browser: bool) -> dict[str, dict[str, Any]]:
    """The server's settings, by Jupyter's own names.

    told : what our own extension of JupyterLab is told: the pages that may run when they are opened, and a command
    """
    import zmq
    from jupyterlab.handlers.announcements import NeverCheckForUpdate

    from workbook.launcher.files import Files
    from workbook.launcher.held_back import hold_back
    from workbook.launcher.spare_kernel import Kernels

    return {
        "ServerApp": {
            "root_dir": str(PAGES),
            "contents_manager_class": Files,
            "kernel_manager_class": Kernels,
            "ip": HOST,
            "port": port,
            "port_retries": 0,  # the port was found free; another one would make the printed address wrong
            "open_browser": browser,
            "allow_root": True,  # one machine, one person, one token: a container's root is as good
            "log_level": "ERROR",
            # Nobody here opens a terminal in the browser, and no language server is installed.
            "jpserver_extensions": {"jupyter_lsp": False, "jupyter_server_terminals": False},
            # No pings: browser and server are one machine, and this Jupyter's default interval makes it warn.
            "tornado_settings": {
                "page_config_data": told,
                "page_config_hook": hold_back,
                "ws_ping_interval": 0,
            },
        },
        # Other users of the machine can't listen in on what goes between server and kernels.
        "KernelManager": {"transport_encryption": "auto" if zmq.has("curve") else "disabled"},
        "IdentityProvider": {"token": token},
        "LabApp": {
            "log_level": "ERROR",
            "default_url": f"/lab/tree/{START_PAGE}",
            "workspaces_dir": str(OWN / "workspaces"),
            "user_settings_dir": str(OWN / "user-settings"),
            "extension_manager": "readonly",
            "news_url": None,
            "check_for_updates_class": NeverCheckForUpdate,
            # For the browser tests, which have to know when a page has run to its end.
            "expose_app_in_browser": os.environ.get("LOADOUT_EXPOSE_APP") == "1",
        },
    }


def announce(address: str, browser: bool) -> None:
    """Tell where the workbook is. Jupyter's own line hides the token, so it can't be copied."""
    say("The workbook is open in your browser. If you don't see it, copy this address into one:"
        if browser else "The workbook is running. Copy this address into a browser:")  # fmt: skip
    say(f"\n    {address}\n")
    say("Leave this window open. Ctrl-C here closes the workbook.")


def _closer(server: Any) -> Callable[..., None]:
    """A signal handler that asks nothing: it stops the server, which ends its kernels."""

    def close(_signal: int, _frame: object) -> None:
        say("\nClosing the workbook ...")
        server.stop(from_signal=True)

    return close
