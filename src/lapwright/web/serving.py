"""What ``lapwright serve`` starts, in one process or in several that share a store."""

from __future__ import annotations

import json
import os
import socket
from contextlib import suppress
from dataclasses import asdict, dataclass
from ipaddress import ip_address
from pathlib import Path

from fastapi import FastAPI

from lapwright.store import open_store
from lapwright.web.door import Door
from lapwright.web.morning import morning_app

_HANDED_OVER = "LAPWRIGHT_SERVING"  # environment of the workers, set by start()
_STOP_WITHIN = 3  # s; a phone that waits for news is cut off, and asks again


@dataclass(frozen=True)
class Serving:
    """How the service runs.

    Parameters
    ----------
    host, port
        Where it listens.
    store, photos : str
        Where facts and photos are kept; empty photos: beside the store.
    workers : int
        Processes.
    cert, key : str
        Files of the TLS certificate and its key; empty without TLS.
    proxy : str
        Addresses of the proxies whose word is taken for the caller's address; empty: none.
    """

    host: str
    port: int
    store: str
    photos: str = ""
    workers: int = 1
    cert: str = ""
    key: str = ""
    proxy: str = ""

    @property
    def is_alone(self) -> bool:
        """Whether only this machine reaches it, so that nobody has to sign in."""
        return not self.proxy and is_loopback(self.host)

    @property
    def door(self) -> Door:
        """How people come in."""
        return Door(login=not self.is_alone, secure=bool(self.cert or self.proxy))


def is_loopback(host: str) -> bool:
    """Whether an address is this machine's own.

    Examples
    --------
    >>> [is_loopback(host) for host in ("127.0.0.1", "localhost", "::1", "0.0.0.0", "roof")]
    [True, True, True, False, False]
    """
    try:
        return ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def start(serving: Serving) -> None:
    """Serve until stopped."""
    import uvicorn
    from uvicorn.supervisors import Multiprocess

    os.environ[_HANDED_OVER] = json.dumps(asdict(serving))
    config = uvicorn.Config(
        "lapwright.web.serving:handed_over",
        factory=True,
        host=serving.host,
        port=serving.port,
        workers=serving.workers,
        log_level="warning",
        server_header=False,
        lifespan="off",
        proxy_headers=bool(serving.proxy),
        forwarded_allow_ips=serving.proxy or None,
        timeout_graceful_shutdown=_STOP_WITHIN,
        ssl_certfile=serving.cert or None,
        ssl_keyfile=serving.key or None,
    )
    listening = config.bind_socket()
    # Handed down to each connection; else a short answer waits 40 ms for the caller's next word.
    listening.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    with suppress(KeyboardInterrupt):
        if serving.workers == 1:
            uvicorn.Server(config).run(sockets=[listening])
        else:
            Multiprocess(config, sockets=[listening]).run()


def handed_over() -> FastAPI:
    """The application of one worker."""
    serving = Serving(**json.loads(os.environ[_HANDED_OVER]))
    photos = Path(serving.photos) if serving.photos else None
    return morning_app(open_store(serving.store, photos=photos), door=serving.door)
