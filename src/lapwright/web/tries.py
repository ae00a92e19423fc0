"""How often somebody may try a password or a link: counted in the crew's own chain.

Every worker of the service reads the same chain, so they agree. A refused try is a fact like
any other, and what was refused for too many tries leaves none: the chain cannot be flooded.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta

from lapwright.errors import LapwrightError
from lapwright.store import Store
from lapwright.web.accounts import access_facts

WINDOW = timedelta(minutes=15)
# Refused tries within the window; our choice. A crew behind one hotspot shares an address.
PER_ACCOUNT = 10
PER_ADDRESS = 30
IN_ALL = 300
UNKNOWN = "unknown"  # account of a try that names none we have: often a mistyped password

# One try at a time in each worker: argon2 takes its memory once, and nobody gets ahead of
# the count by trying in parallel.
_ONE_AT_A_TIME = threading.Lock()


@contextmanager
def one_try(store: Store, *, account: str, address: str, now: datetime) -> Iterator[None]:
    """Room for one try, if there were not too many.

    Raises
    ------
    LapwrightError
        ``too_many_tries``.
    """
    with _ONE_AT_A_TIME:
        since = now - WINDOW
        days = sorted({since.date().isoformat(), now.date().isoformat()})
        refused = [
            fact
            for fact in access_facts(store, days)
            if fact["what"] == "sign_in_refused" and fact.moment > since
        ]
        of_account = sum(fact["account"] == account for fact in refused)
        of_address = sum(fact["address"] == address for fact in refused)
        if (
            (account != UNKNOWN and of_account >= PER_ACCOUNT)
            or of_address >= PER_ADDRESS
            or len(refused) >= IN_ALL
        ):
            raise LapwrightError("too_many_tries", minutes=WINDOW // timedelta(minutes=1))
        yield
