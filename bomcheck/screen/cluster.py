"""The way to a Dask cluster; Dask is an extra and is loaded only here."""

from typing import Any

from bomcheck.screen.faults import refuse


def cluster_client(address: str) -> Any:
    """A client of the scheduler at an address, "tcp://10.0.0.5:8786". Raises WorkbookError where there is none."""
    try:
        from distributed import Client
    except ImportError:
        instead = "Install it: pip install corner-bomcheck[cluster]; without --scheduler nothing of it is needed"
        raise refuse("file", "--scheduler", "Dask is not installed", instead) from None
    try:
        return Client(address, timeout="10s")
    except (OSError, TimeoutError, ValueError) as error:
        reason = str(error).splitlines()[0][:100] if str(error) else "no answer"
        raise refuse("file", "--scheduler", f"no scheduler answers at {address} ({reason})", "Start it with `dask scheduler`, workers with `dask worker`") from None
