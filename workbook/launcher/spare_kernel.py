"""One kernel that waits for the next page, so that a page that opens doesn't wait for Python and its imports.

The spare has imported what the pages import, and nothing else has happened in it: no season is open, it stands in the
folder of the pages, and Jupyter's list of kernels doesn't know it. Whoever asks the server for a kernel beside the
pages gets it, once it has answered; then it has the notebook's name, and a new spare is made a little later. Where no
spare fits, or it is dead, a kernel starts as it always did. Only imported inside `.venv`.
"""

import asyncio
import contextlib
import os
from typing import Any

import psutil
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager, ServerKernelManager
from jupyter_server.utils import ApiPath

READY = "list(map(__import__, ('workbook.panels', 'numpy')))"  # leaves no name behind
NAMED = "__import__('os').environ['JPY_SESSION_NAME'] = get_ipython().user_ns['__session__'] = {name!r}"
IMPORTS_S, ANSWER_S = 120.0, 5.0  # the longest waits for a spare: for its imports, for its word that it lives
REST_S = 3.0  # the next spare's imports would keep the page waiting that has just opened
ENOUGH_BYTES = 1_500_000_000  # free memory under which there is no spare


class PageKernel(ServerKernelManager):
    """One kernel, which may have been started before anybody asked for it."""

    spare = False

    async def start_kernel(self, **kwargs: Any) -> None:  # type: ignore[override]  # as Jupyter's own does
        """Start the process, unless it runs already; by the name that Jupyter gives it."""
        if not self.spare:
            await super().start_kernel(**kwargs)
            return
        self.spare = False
        # A restart begins anew, as the notebook's own kernel.
        self._launch_args = {key: kwargs[key] for key in ("cwd", "env") if key in kwargs}
        self.autorestart = True
        self.start_restarter()

    async def does(self, source: str, timeout_s: float) -> bool:
        """Run a line without a trace. Returns whether the kernel has said in time that it went well."""
        client = self.client()
        client.start_channels(iopub=False, stdin=False, hb=False, control=False)
        try:
            if not await self.is_alive():
                return False
            client.execute(source, silent=True, store_history=False)
            answer = await asyncio.wait_for(client.get_shell_msg(), timeout_s)
            return bool(answer["content"]["status"] == "ok")
        except TimeoutError:
            return False
        finally:
            client.stop_channels()

    async def end(self) -> None:
        """End the process at once."""
        with contextlib.suppress(Exception):  # it may have ended by itself at any moment
            await self.shutdown_kernel(now=True)


class Kernels(AsyncMappingKernelManager):
    """Jupyter's kernels, and a spare one."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.kernel_manager_class = f"{PageKernel.__module__}.{PageKernel.__name__}"
        self.spare_ready: asyncio.Task[PageKernel | None] | None = None
        self._later: asyncio.TimerHandle | None = None
        self._handed: PageKernel | None = None
        self._closed = False

    def prepare(self) -> None:
        """Begin to make a spare, unless there is one, or memory is short."""
        if not self._closed and self.spare_ready is None and psutil.virtual_memory().available > ENOUGH_BYTES:
            self.spare_ready = asyncio.ensure_future(self._make())

    async def _make(self) -> PageKernel | None:
        made: Any  # of the class named above
        made, _, kernel_id = super().pre_start_kernel(None, {})
        made.autorestart = False  # a spare that dies is thrown away
        try:
            where = self._kernel_start_kwargs(cwd=self.root_dir, env=dict(os.environ))
            await made.start_kernel(kernel_id=kernel_id, **where)
            made.spare = await made.does(READY, IMPORTS_S)
        finally:  # also when the server ends meanwhile
            if not made.spare:
                await made.end()
        return made if made.spare else None

    async def _take(
        self, path: ApiPath | None, kernel_name: str | None, env: dict[str, str]
    ) -> PageKernel | None:
        fits = kernel_name in (None, self.default_kernel_name) and path is not None
        if self.spare_ready is None or not fits or self.cwd_for_path(path) != self.root_dir:
            return None
        making, self.spare_ready = self.spare_ready, None
        self._later = asyncio.get_running_loop().call_later(REST_S, self.prepare)
        # One that isn't ready yet is still nearer to it than a kernel that starts now.
        with contextlib.suppress(Exception):
            spare = await making
            if spare and await spare.does(NAMED.format(name=env.get("JPY_SESSION_NAME", "")), ANSWER_S):
                return spare
            if spare:
                await spare.end()
        return None

    async def _async_start_kernel(
        self, *, kernel_id: str | None = None, path: ApiPath | None = None, **kwargs: Any
    ) -> str:
        if kernel_id is None or kernel_id not in self:
            taken = await self._take(path, kwargs.get("kernel_name"), kwargs.get("env") or {})
            self._handed = taken  # read by `pre_start_kernel` before anything else can run
        return str(await super()._async_start_kernel(kernel_id=kernel_id, path=path, **kwargs))

    start_kernel = _async_start_kernel  # type: ignore[assignment]  # as Jupyter's own

    def pre_start_kernel(self, kernel_name: str | None, kwargs: Any) -> tuple[Any, str, str]:
        """Give the kernel that is to be started, its kind, and its id; by the name that Jupyter gives it."""
        handed, self._handed = self._handed, None
        if handed is None:
            return super().pre_start_kernel(kernel_name, kwargs)
        handed.kernel_id = kwargs.pop("kernel_id", handed.kernel_id)
        return handed, handed.kernel_name, handed.kernel_id

    async def shutdown_all(self, now: bool = False) -> None:  # type: ignore[override]  # as Jupyter's own
        """End every kernel and the spare; by the name that Jupyter gives it."""
        self._closed = True
        if self._later:
            self._later.cancel()
        making, self.spare_ready = self.spare_ready, None
        if making and not making.done():
            making.cancel()
        if making:
            with contextlib.suppress(Exception, asyncio.CancelledError):
                spare = await making
                if spare:
                    await spare.end()
        await super().shutdown_all(now=now)
