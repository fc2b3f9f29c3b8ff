"""On a Dask cluster the result is the same file, and stays so when a worker dies half-way."""

import os
import signal
import threading
import time

import pytest

from bomcheck.screen.command import screen_command
from bomcheck.screen.tables import Asked
from tests.helpers import tables

distributed = pytest.importorskip("distributed", reason="the extra [cluster] is not installed")


@pytest.fixture(scope="module")
def files(tmp_path_factory):
    """Tables that make many small tasks."""
    folder = tmp_path_factory.mktemp("cluster")
    corners = tables.write_csv(folder / "corners.csv", tables.corners(60, 3))
    return corners, tables.write_csv(folder / "kits.csv", tables.kits(60, 3)), folder


@pytest.fixture
def cluster():
    """Two workers of this machine, a process each; a nanny starts a dead one again."""
    with distributed.LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=":0") as made:
        yield made


def _whole(files, monkeypatch):
    monkeypatch.setattr("bomcheck.screen.tasks.PAIRS", 240)
    screen_command(Asked(files[0], files[1], files[2] / "here.csv", parts=False, processes=1))
    return (files[2] / "here.csv").read_bytes()


def test_two_workers_give_the_same_file(files, cluster, monkeypatch):
    """Byte for byte what one process gives."""
    expected = _whole(files, monkeypatch)
    screen_command(Asked(files[0], files[1], files[2] / "there.csv", parts=False, scheduler=cluster.scheduler_address))
    assert (files[2] / "there.csv").read_bytes() == expected


def test_a_worker_dies_half_way(files, cluster, monkeypatch):
    """One worker is killed after the first answers: its tasks are done again and the file is the same."""
    expected = _whole(files, monkeypatch)
    with distributed.Client(cluster) as client:
        first = sorted(client.run(os.getpid).values())[0]
    killed = threading.Event()

    def kill_once(done, pairs):
        if 0 < done < pairs and not killed.is_set():
            os.kill(first, signal.SIGKILL)
            killed.set()
            time.sleep(0.2)

    monkeypatch.setattr("bomcheck.screen.command._bar", lambda: kill_once)
    asked = Asked(files[0], files[1], files[2] / "killed.csv", parts=False, scheduler=cluster.scheduler_address)
    screen_command(asked, progress=True)
    assert killed.is_set()
    assert (files[2] / "killed.csv").read_bytes() == expected
