"""What one phone records, another sees: at once, through any worker, and after a crash."""

from __future__ import annotations

import json
import os
import shutil
import signal
import socket
import ssl
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from dataclasses import asdict
from pathlib import Path
from typing import Any

import httpx
import pytest

from lapwright.record.chain import Entry, verify
from lapwright.record.fact import read_fact
from lapwright.record.ids import CREW_CHAIN
from lapwright.web.serving import Serving

Call = Callable[..., Any]
JOB = "01976d00-0000-7000-8000-00000000000a"
PATH = f"/api/jobs/{JOB}/facts"
SOON = 10.0  # s; well before the wait is over, on any machine; bench/sync.py measures it


@contextmanager
def running(place: str, photos: Path, **how: Any) -> Iterator[Any]:
    """The service in processes of its own, as ``lapwright serve`` starts it."""
    if "port" not in how:
        with socket.create_server(("127.0.0.1", 0)) as free:
            how["port"] = free.getsockname()[1]
    serving = Serving(host="127.0.0.1", store=place, photos=str(photos), **how)
    program = (
        "import json, sys; from lapwright.web.serving import Serving, start;"
        "start(Serving(**json.loads(sys.argv[1])))"
    )
    command = [sys.executable, "-c", program, json.dumps(asdict(serving))]
    process = subprocess.Popen(command, start_new_session=True)
    trusted = ssl.create_default_context(cafile=serving.cert) if serving.cert else False
    scheme = "https" if serving.cert else "http"
    try:
        with httpx.Client(
            base_url=f"{scheme}://127.0.0.1:{serving.port}",
            timeout=60,
            trust_env=False,
            verify=trusted,
        ) as client:
            answers(client, process)
            yield client, process
    finally:
        with suppress(ProcessLookupError):
            os.killpg(process.pid, signal.SIGTERM)
        process.wait(30)


def answers(client: httpx.Client, process: Any) -> None:
    """Return once the service answers."""
    while process.poll() is None:
        with suppress(httpx.TransportError):
            if client.get("/api/me").status_code == 200:
                return
        time.sleep(0.05)
    raise AssertionError("the service ended")


def test_a_second_phone_sees_it_before_its_wait_is_over(crew: Any, tell: Call) -> None:
    """Its open question is answered as soon as there is something, and only then."""
    welder, prober = crew.client("welder"), crew.client("prober")
    with ThreadPoolExecutor(1) as pool:
        waiting = pool.submit(prober.get, PATH, params={"after": 0, "wait": 20})
        time.sleep(0.5)
        assert not waiting.done()
        began = time.monotonic()
        tell(welder, crew.fact("welder", 1))
        answer = waiting.result(timeout=30).json()
    assert time.monotonic() - began < SOON
    assert [one["seq"] for one in answer["entries"]] == [1]


def test_a_question_with_an_answer_does_not_wait(crew: Any, tell: Call) -> None:
    """What is there already comes at once; where nothing comes, the answer is empty."""
    client = crew.client("welder")
    tell(client, crew.fact("welder", 1))
    began = time.monotonic()
    assert len(client.get(PATH, params={"wait": 25}).json()["entries"]) == 1
    assert time.monotonic() - began < SOON
    assert client.get(PATH, params={"after": 1, "wait": 0.2}).json()["entries"] == []


def test_a_phone_shut_out_while_it_waits_gets_nothing(crew: Any, tell: Call) -> None:
    """Revoking counts for questions that are already open."""
    lost, foreman = crew.client("prober"), crew.client("foreman")
    with ThreadPoolExecutor(1) as pool:
        waiting = pool.submit(lost.get, PATH, params={"wait": 20})
        time.sleep(0.3)
        foreman.post(f"/api/phones/{crew.phones['prober']}/revoke")
        tell(foreman, crew.fact("foreman", 1))
        assert waiting.result(timeout=30).status_code == 401


def test_many_may_wait_at_once(crew: Any, tell: Call) -> None:
    """More phones than the service has threads, each told of the same fact."""
    phones = [crew.client("inspector") for _ in range(60)]
    with ThreadPoolExecutor(len(phones)) as pool:
        waiting = [pool.submit(one.get, PATH, params={"wait": 25}) for one in phones]
        time.sleep(0.5)
        tell(crew.client("welder"), crew.fact("welder", 1))
        assert all(len(one.result(timeout=60).json()["entries"]) == 1 for one in waiting)


@pytest.mark.parametrize("engine", ["postgresql"], indirect=True)
def test_two_workers_serve_one_crew(place: str, tmp_path: Path, raw: Call, tell: Call) -> None:
    """Facts that several workers take at once stand in one chain, and each worker gives it."""
    with running(place, tmp_path, workers=2) as (client, _):

        def sends(phone: int) -> None:
            for number in range(10):
                with httpx.Client(base_url=client.base_url, timeout=60, trust_env=False) as one:
                    tell(one, raw(100 * phone + number))

        with ThreadPoolExecutor(4) as pool:
            list(pool.map(sends, range(1, 5)))
        answer = client.get(PATH).json()
    entries = [Entry(**{**one, "fact": read_fact(one["fact"])}) for one in answer["entries"]]
    assert len({entry.fact.id for entry in entries}) == len(entries) == 40
    assert verify(entries) == answer["head"]["hash"]


def test_killed_in_the_middle_of_a_sync_nothing_is_lost_or_doubled(
    place: str, tmp_path: Path, raw: Call
) -> None:
    """What was acknowledged is there after a crash; sending all again completes it, once each."""
    facts = [raw(number) for number in range(1, 2001)]
    acknowledged: set[str] = set()
    with running(place, tmp_path) as (client, process):
        port = client.base_url.port

        def sends() -> None:
            with suppress(httpx.TransportError):
                for start in range(0, len(facts), 20):
                    answer = client.post(PATH, json={"facts": facts[start : start + 20]}).json()
                    acknowledged.update(one["id"] for one in answer["receipts"])

        with ThreadPoolExecutor(1) as pool:
            sending = pool.submit(sends)
            while len(acknowledged) < 100 and not sending.done():
                time.sleep(0.005)
            process.kill()
            sending.result(timeout=60)
    assert 100 <= len(acknowledged) < len(facts)
    with running(place, tmp_path, port=port) as (client, _):
        kept = {one["fact"]["id"] for one in pages(client)}
        assert acknowledged <= kept
        for start in range(0, len(facts), 500):
            answer = client.post(PATH, json={"facts": facts[start : start + 500]}).json()
            assert {one["status"] for one in answer["receipts"]} <= {"kept", "had"}
        entries = [Entry(**{**one, "fact": read_fact(one["fact"])}) for one in pages(client)]
        assert sorted(entry.fact.id for entry in entries) == [fact["id"] for fact in facts]
        assert verify(entries) == client.get(PATH, params={"limit": 1}).json()["head"]["hash"]


@pytest.mark.parametrize("engine", ["sqlite"], indirect=True)
@pytest.mark.parametrize("proxy", ["127.0.0.1", "192.0.2.1"])
def test_only_the_named_proxy_says_who_calls(
    place: str, tmp_path: Path, opened: Call, proxy: str
) -> None:
    """Another's word about the caller's address is not taken: the count of tries rests on it."""
    store = opened(place)
    with running(place, tmp_path, proxy=proxy) as (client, _):
        assert client.get("/api/me").json()["login"] is True
        said = {"X-Forwarded-For": "203.0.113.7", "X-Forwarded-Proto": "https"}
        ask = {"account": "nobody", "password": "wrong"}
        assert client.post("/api/sign-in", json=ask, headers=said).status_code == 401
    (refused,) = store.ledger.since(CREW_CHAIN)
    believed = "203.0.113.7" if proxy == "127.0.0.1" else "127.0.0.1"
    assert refused.fact["address"] == believed


@pytest.mark.parametrize("engine", ["sqlite"], indirect=True)
def test_it_serves_under_its_own_certificate(place: str, tmp_path: Path, raw: Call) -> None:
    """A client that trusts the certificate gets in over TLS; in clear there is no answer."""
    program = shutil.which("openssl")
    if program is None:
        pytest.skip("no openssl on this machine to make a certificate with")
    cert, key = tmp_path / "roof.pem", tmp_path / "roof-key.pem"
    command = [program, "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256"]
    command += ["-nodes", "-subj", "/CN=127.0.0.1", "-addext", "subjectAltName=IP:127.0.0.1"]
    command += ["-days", "2", "-out", str(cert), "-keyout", str(key)]
    subprocess.run(command, check=True, capture_output=True)
    with running(place, tmp_path, cert=str(cert), key=str(key)) as (client, _):
        answer = client.post(PATH, json={"facts": [raw(1)]}).json()
        assert answer["receipts"][0]["status"] == "kept"
        with pytest.raises(httpx.TransportError):
            httpx.get(f"http://127.0.0.1:{client.base_url.port}/api/me", trust_env=False)


def pages(client: httpx.Client) -> list[Any]:
    """The whole chain, page by page."""
    found: list[Any] = []
    while page := client.get(PATH, params={"after": len(found)}).json()["entries"]:
        found += page
    return found
