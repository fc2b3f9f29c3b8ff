"""The way to a Dask cluster; Dask is an extra and is loaded only here."""

from collections import deque
from collections.abc import Callable, Iterator
from typing import Any

from bomcheck.screen.faults import refuse


def cluster_client(address: str) -> Any:
    """A client of the scheduler at an address, "tcp://10.0.0.5:8786". Raises WorkbookError where there is none."""
    try:
        import distributed
    except ImportError:
        instead = "Install it: pip install corner-bomcheck[cluster]; without --scheduler nothing of it is needed"
        raise refuse("file", "--scheduler", "Dask is not installed", instead) from None
    try:
        client: Any = distributed.Client
        return client(address, timeout="10s")
    except (OSError, TimeoutError, ValueError) as error:
        reason = str(error).splitlines()[0][:100] if str(error) else "no answer"
        raise refuse(
            "file",
            "--scheduler",
            f"no scheduler answers at {address} ({reason})",
            "Start it with `dask scheduler`, workers with `dask worker`",
        ) from None


def cluster_answers(address: str, do: Callable[..., Any], world: Any, wanted: Any, tasks: list[Any]) -> Iterator[Any]:
    """The answers to tasks in their order; what a lost worker had is done again."""
    client = cluster_client(address)
    with client:
        tables = client.scatter(world, broadcast=True, hash=False)
        ahead = 4 * max(len(client.scheduler_info()["workers"]), 1)
        waiting: deque[Any] = deque()
        for task in tasks:
            waiting.append(client.submit(do, tables, wanted, task, pure=False, retries=5))
            if len(waiting) > ahead:
                yield waiting.popleft().result()
        while waiting:
            yield waiting.popleft().result()
