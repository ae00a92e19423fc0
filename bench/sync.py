"""How fast facts come in over HTTP, and how soon another phone sees them.

python bench/sync.py

A server of its own, as ``lapwright serve`` starts it, on SQLite and on PostgreSQL that waits
for the disk; one phone on the same machine. Facts are t_joint facts of about 400 bytes.
"""

from __future__ import annotations

import json
import socket
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import asdict
from itertools import count
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter, sleep
from typing import Any

import httpx

from lapwright.record.ids import uuid7
from lapwright.web.serving import Serving

ROOT = Path(__file__).resolve().parents[1]
BATCHES = {1: 300, 100: 50, 1000: 10}  # facts in a batch, batches
A_DAY = 2000  # facts of five phones on a long day, our guess
SEEN = 20  # facts whose way to the second phone is timed
START = (
    "import json, sys; from lapwright.web.serving import Serving, start;"
    "start(Serving(**json.loads(sys.argv[1])))"
)
_numbers = count(1)


def main() -> None:
    """Measure both engines and print one Markdown table."""
    print("| | " + " | ".join(map(str, BATCHES)) + " | a day | seen after | memory |")
    print("|---" * (len(BATCHES) + 4) + "|")
    with ExitStack() as stack:
        folder = Path(stack.enter_context(TemporaryDirectory()))
        places = {"SQLite": f"sqlite:///{folder / 'crew.db'}"}
        if address := stack.enter_context(postgres()):
            places["PostgreSQL"] = address
        for name, place in places.items():
            for workers in (1,) if name == "SQLite" else (1, 2):
                with running(place, folder / name, workers) as (client, process):
                    cells = measure(client)
                    cells.append(f"{memory(process.pid):.0f} MB")
                print(f"| {name}, {workers} worker(s) | " + " | ".join(cells) + " |", flush=True)


def measure(client: httpx.Client) -> list[str]:
    """Facts per second by batch, a day's sync, and the way to a second phone."""
    cells = []
    send(client, 100)  # the first of everything is slower
    for size, batches in BATCHES.items():
        began = perf_counter()
        for _ in range(batches):
            send(client, size)
        cells.append(f"{size * batches / (perf_counter() - began):,.0f}/s")
    began = perf_counter()
    for _ in range(A_DAY // 1000):
        send(client, 1000)
    cells.append(f"{perf_counter() - began:.2f} s")
    times = sorted(way(client, wait=0.3 + 0.4 * place / SEEN) for place in range(SEEN))
    return [*cells, f"{median(times):.2f} s, worst {times[-1]:.2f} s"]


def way(client: httpx.Client, *, wait: float) -> float:
    """Time from one phone sending to a waiting second phone having it."""
    job, path = new_job()
    with ThreadPoolExecutor(1) as pool:
        waiting = pool.submit(client.get, path, params={"wait": 20})
        sleep(wait)
        began = perf_counter()
        client.post(path, json={"facts": [fact(job)]}).raise_for_status()
        assert waiting.result().json()["entries"]
        return perf_counter() - began


_JOB, _PATH = "01976d00-0000-7000-8000-00000000000a", "/api/jobs/{}/facts"


def new_job() -> tuple[str, str]:
    """A job nobody knows yet, and where its facts go."""
    job = uuid7(next(_numbers), bytes(10))
    return job, _PATH.format(job)


def send(client: httpx.Client, size: int) -> None:
    """One batch, all kept."""
    facts = [fact(_JOB) for _ in range(size)]
    answer = client.post(_PATH.format(_JOB), json={"facts": facts}).json()
    assert all(receipt["status"] == "kept" for receipt in answer["receipts"])


def fact(job: str) -> dict[str, Any]:
    """A fact as a phone sends it, invented."""
    number = next(_numbers)
    at = "2026-05-04T07:05:00.000-06:00"
    body = {"number": f"A-T-{number}", "creased": True, "patched": None, "result": "none"}
    return {
        "id": uuid7(1_777_000_000_000 + number, number.to_bytes(10, "big")), "job": job,
        "kind": "t_joint", "at": at, "entered_at": at, "by": "", "entered_by": "local",
        "device": "phone-1", "body": body, "note": "",
    }  # fmt: skip


@contextmanager
def running(place: str, photos: Path, workers: int) -> Iterator[tuple[httpx.Client, Any]]:
    """The service in processes of its own."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    serving = Serving("127.0.0.1", port, place, str(photos), workers)
    process = subprocess.Popen([sys.executable, "-c", START, json.dumps(asdict(serving))])
    try:
        with httpx.Client(base_url=f"http://127.0.0.1:{port}", timeout=60, trust_env=False) as it:
            while process.poll() is None:
                with suppress(httpx.TransportError):
                    it.get("/api/me").raise_for_status()
                    break
                sleep(0.1)
            yield it, process
    finally:
        process.terminate()
        process.wait(30)


@contextmanager
def postgres() -> Iterator[str]:
    """Address of a PostgreSQL that waits for the disk; empty where there is none."""
    command = [sys.executable, str(ROOT / "scripts" / "postgres"), "--durable"]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as server:
        assert server.stdin
        assert server.stdout
        port = server.stdout.readline().strip()
        yield f"postgresql://test@127.0.0.1:{port}/test" if port else ""
        server.stdin.close()


def memory(pid: int) -> float:
    """Memory of a process and its children that is theirs alone or shared. [MB]"""
    found = 0.0
    for status in Path("/proc").glob("[0-9]*/status"):
        with suppress(OSError):
            lines = dict(
                line.split(":", 1) for line in status.read_text(encoding="utf-8").splitlines()
            )
            if str(pid) in (lines["Pid"].strip(), lines["PPid"].strip()) and "VmRSS" in lines:
                found += int(lines["VmRSS"].split()[0]) / 1024
    return found


if __name__ == "__main__":
    main()
