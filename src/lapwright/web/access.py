"""Who may do what: one table of addresses, one of facts, for the five roles of a crew.

An address without a row is open to nobody. The tables are data, so that the tests and the
reference page read the same ones that the door does.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, get_args

from lapwright.errors import LapwrightError
from lapwright.record.fact import KINDS, Fact

Role = Literal["foreman", "welder", "prober", "quality", "inspector"]
ROLES: tuple[Role, ...] = get_args(Role)

ANYBODY: frozenset[str] = frozenset({*ROLES, "nobody"})  # also without a session
EVERY: frozenset[str] = frozenset(ROLES)
FOREMAN: frozenset[str] = frozenset({"foreman"})
READERS: frozenset[str] = frozenset({"foreman", "quality", "inspector"})

MAY_CALL: Mapping[str, frozenset[str]] = {
    "GET /": ANYBODY,
    "GET /join": ANYBODY,
    "GET /api/me": ANYBODY,
    "POST /api/sign-in": ANYBODY,
    "POST /api/join": ANYBODY,
    "POST /api/sign-out": EVERY,
    "GET /api/phones": FOREMAN,
    "POST /api/phones/{phone}/revoke": FOREMAN,
    "GET /api/accounts": FOREMAN,
    "POST /api/accounts": FOREMAN,
    "POST /api/invites": FOREMAN,
    "GET /api/kinds": EVERY,
    "GET /api/jobs": EVERY,
    "POST /api/jobs/{job}/facts": EVERY,
    "GET /api/jobs/{job}/facts": EVERY,
    "GET /api/jobs/{job}/today": EVERY,
    "GET /api/jobs/{job}/window": EVERY,
    "GET /api/jobs/{job}/chart": EVERY,
    "GET /api/jobs/{job}/table": EVERY,
    "GET /api/jobs/{job}/trace": EVERY,
    "GET /api/jobs/{job}/suspects": EVERY,
    "GET /api/jobs/{job}/shared": EVERY,
    "GET /api/jobs/{job}/symptoms": EVERY,
    "GET /api/jobs/{job}/archive": READERS,
    "GET /api/jobs/{job}/closeout": READERS,
    "PUT /api/jobs/{job}/photos/{sha256}": EVERY,
    "GET /api/jobs/{job}/photos/{sha256}": EVERY,
    "GET /api/example": EVERY,
    "POST /api/rows": EVERY,
    "POST /api/window": EVERY,
    "POST /api/plan": EVERY,
    "GET /api/quiz": EVERY,
    "POST /api/quiz/answers": EVERY,
    "POST /api/practice": EVERY,
}

MAY_SEE_ACCESS: frozenset[str] = frozenset({"foreman", "quality"})  # the crew's own chain

_ALL = frozenset(KINDS) - {"access"}  # that one is written by the server alone
MAY_RECORD: Mapping[str, frozenset[str]] = {
    "foreman": _ALL,
    "quality": _ALL,
    "welder": _ALL - {"rules", "past_days", "sign_off", "person"},
    "prober": frozenset(
        {"probe", "defect", "reprobe", "repair", "photo", "conditions", "event", "correction"}
    ),
    "inspector": frozenset({"defect", "photo"}),
}
_MAY_ACCEPT = frozenset({"foreman", "quality"})  # a decision, and correct whatever there is


@dataclass(frozen=True)
class Caller:
    """Who sent a request.

    Parameters
    ----------
    account, name : str
        Id and name of the account.
    role : str
        One of :data:`ROLES`.
    device : str
        Id of the phone or desk behind the session.
    csrf : str
        What a changing request must repeat in its header.
    """

    account: str
    name: str
    role: Role
    device: str
    csrf: str = ""


LOCAL = Caller("local", "local", "foreman", "local")  # on this machine, without login


def check_role(caller: Caller, fact: Fact) -> None:
    """A role records what is its own work.

    Raises
    ------
    LapwrightError
        ``fact_role``: this role does not record that kind, or does not accept a set point.
    """
    if fact.kind not in MAY_RECORD[caller.role]:
        raise LapwrightError("fact_role", field="kind", kind=fact.kind, role=caller.role)
    if fact.kind == "decision" and fact["accepted"] and caller.role not in _MAY_ACCEPT:
        raise LapwrightError("fact_role", field="accepted", kind=fact.kind, role=caller.role)


def may_correct_all(caller: Caller) -> bool:
    """Whether the role corrects any fact; the others only what they could have recorded."""
    return caller.role in _MAY_ACCEPT


def check_correction(caller: Caller, correction: Fact, target: Fact | None) -> None:
    """A correction reaches no further than the role could have recorded in the first place.

    Parameters
    ----------
    caller : Caller
        Who corrects.
    correction : Fact
        Of the kind "correction".
    target : Fact, optional
        The corrected fact; None when it has not arrived.

    Raises
    ------
    LapwrightError
        ``correction_early``: what it corrects has not arrived. ``fact_role``: not theirs.
    """
    if target is None:
        raise LapwrightError("correction_early", field="of")
    is_own = target.entered_by == caller.account
    if caller.role == "prober" and not is_own:
        raise LapwrightError("fact_role", field="of", kind=target.kind, role=caller.role)
    if target.kind not in MAY_RECORD[caller.role]:
        raise LapwrightError("fact_role", field="of", kind=target.kind, role=caller.role)
    if target.kind == "decision" and (correction["field"] == "accepted" or target["accepted"]):
        raise LapwrightError("fact_role", field="of", kind=target.kind, role=caller.role)
