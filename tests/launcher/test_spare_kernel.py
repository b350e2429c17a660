"""The kernel that waits for the next page: nobody sees it, it is handed over alive, and none is left behind."""

import asyncio
import os
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import psutil
import pytest
from jupyter_server.utils import ApiPath

from workbook.launcher.spare_kernel import Kernels, PageKernel

LOOK = """
import os, sys, psutil
names = {name for name in get_ipython().user_ns if not name.startswith('_')}
names -= {'In', 'Out', 'exit', 'quit', 'get_ipython', 'open', 'os', 'sys', 'psutil'}
opened = [file.path for file in psutil.Process().open_files() if 'season' in file.path]
print(repr((os.getpid(), os.getcwd(), os.environ['JPY_SESSION_NAME'], __session__,
            'workbook.panels' in sys.modules, names, opened)))
"""


async def look(kernel: PageKernel) -> tuple[Any, ...]:
    """What a cell sees that is run first of all: process, folder, name twice, imports, variables, open seasons."""
    client = kernel.client()
    client.start_channels()
    printed: list[str] = []
    try:
        await client.wait_for_ready(timeout=60)
        answer = await client.execute_interactive(
            LOOK, timeout=60, output_hook=lambda message: printed.append(message["content"].get("text", ""))
        )
    finally:
        client.stop_channels()
    assert answer["content"]["status"] == "ok", answer["content"]
    assert answer["content"]["execution_count"] == 1, "the reader's first cell has number 1"
    return tuple(eval("".join(printed)))


def children() -> dict[int, psutil.Process]:
    """This process's kernels, by number."""
    return {one.pid: one for one in psutil.Process().children() if "kernel-" in " ".join(one.cmdline())}


async def until_ready(kernels: Kernels) -> int:
    """Make a spare. Returns the number of its process."""
    kernels.prepare()
    assert kernels.spare_ready is not None
    await kernels.spare_ready
    [pid] = children()
    return pid


def start(kernels: Kernels, path: str, name: str) -> Awaitable[str]:
    """Ask for a kernel as the server does for a notebook."""
    env = {**os.environ, "JPY_SESSION_NAME": name}
    return kernels.start_kernel(path=ApiPath(path), kernel_name="python3", env=env)


def with_kernels(folder: Path, work: Callable[[Kernels], Awaitable[None]]) -> None:
    """Do the work, end all kernels, and see that none is left."""

    async def run() -> None:
        kernels = Kernels(root_dir=str(folder), connection_dir=str(folder))
        try:
            await work(kernels)
        finally:
            processes = list(children().values())
            await kernels.shutdown_all(now=True)
        _, alive = psutil.wait_procs(processes, timeout=5)
        assert alive == []

    asyncio.run(run())


def test_the_spare_is_handed_to_the_next_page_as_if_new(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not listed before; then the page's, with its name and its imports, and without a variable or an open season.
    A restart keeps name and folder."""
    monkeypatch.setenv("LOADOUT_SEASON", str(tmp_path / "season"))

    async def work(kernels: Kernels) -> None:
        pid = await until_ready(kernels)
        assert kernels.list_kernel_ids() == []
        first = await start(kernels, "", "/somewhere/01-page.ipynb")
        assert kernels.list_kernel_ids() == [first]
        name = "/somewhere/01-page.ipynb"
        kernel: Any = kernels.get_kernel(first)
        assert await look(kernel) == (pid, str(tmp_path), name, name, True, set(), [])
        await kernels.restart_kernel(first)
        again = await look(kernel)
        assert again[0] != pid
        assert again[1:] == (str(tmp_path), name, name, False, set(), [])

    with_kernels(tmp_path, work)


def test_a_dead_spare_and_another_folder_get_a_kernel_of_their_own(tmp_path: Path) -> None:
    """A spare that was killed is noticed; one in the folder of the pages is not given to a notebook below it."""
    (tmp_path / "below").mkdir()

    async def work(kernels: Kernels) -> None:
        pid = await until_ready(kernels)
        below: Any = kernels.get_kernel(await start(kernels, "below", "a.ipynb"))
        assert (await look(below))[:2] == (
            next(one for one in children() if one != pid),
            str(tmp_path / "below"),
        )
        children()[pid].kill()
        beside: Any = kernels.get_kernel(await start(kernels, "", "b.ipynb"))
        found = await look(beside)
        assert found[0] != pid
        assert found[1:4] == (str(tmp_path), "b.ipynb", "b.ipynb")

    with_kernels(tmp_path, work)
