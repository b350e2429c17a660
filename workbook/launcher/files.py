"""How the server reads and signs notebooks: other people's lie beside the pages, and opening one must run nothing.

A signature means that a notebook's scripts may run in the browser, and on a page's name that its cells run by
themselves. Only imported inside `.venv`.
"""

from typing import Any

from jupyter_server.services.contents.largefilemanager import AsyncLargeFileManager


class Files(AsyncLargeFileManager):
    """JupyterLab's way to the files, with two holes closed."""

    def mark_trusted_cells(self, nb: Any, path: str = "") -> None:
        """Called on every reading of a notebook, by the name that Jupyter gives it.

        Widget state that was saved in a file goes: JupyterLab would bring it back to life, scripts included,
        without asking whether anybody trusts the file. No page of ours saves any.
        """
        nb["metadata"].pop("widgets", None)
        super().mark_trusted_cells(nb, path)

    def check_and_sign(self, nb: Any, path: str = "", **again: Any) -> None:
        """Called on every saving. Sign only what came in signed, or what a person ran cell by cell.

        Jupyter alone would also sign cells that never ran, as long as they show nothing yet: a stranger's notebook
        under a page's name would be signed by the first automatic save, and run at the next opening.
        """
        code = [cell for cell in nb["cells"] if cell["cell_type"] == "code"]
        if all(cell["metadata"].get("trusted") for cell in code):
            super().check_and_sign(nb, path, **again)
        for cell in code:
            cell["metadata"].pop("trusted", None)  # for the browser, and not for the file
