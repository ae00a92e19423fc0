"""Where facts are kept: one SQLite file for a crew, PostgreSQL for a company.

``opening`` makes a :class:`Store`: its ``ledger`` (facts, in chains), its ``people``
(accounts, devices, sessions, invites) and its ``photos`` (files named by their content).
``archive`` writes and reads a whole job as one open file, ``backup`` copies a store,
``check`` reads everything again and says whether it still fits.

Not here: what a fact means (``record``), who may do what (``web``), anything of welding.
"""

from lapwright.store.opening import Store, open_store

__all__ = ["Store", "open_store"]
