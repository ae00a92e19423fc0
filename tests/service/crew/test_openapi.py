"""The service is what its own description says, whatever is sent to it.

Schemathesis makes requests from the description, good and bad ones, and holds every answer
against it: no fault of the program, no status or shape that is not described.
"""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import requests
import schemathesis
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis.strategies import one_of
from schemathesis import GenerationMode, checks
from schemathesis.specs.openapi import checks as openapi_checks

from lapwright.web.access import MAY_CALL, ROLES

Call = Callable[..., Any]
PAGE = Path(__file__).resolve().parents[3] / "docs" / "reference" / "api.md"
JOB = "01976d00-0000-7000-8000-00000000000a"
HELD = [
    checks.not_a_server_error,
    openapi_checks.status_code_conformance,
    openapi_checks.content_type_conformance,
    openapi_checks.response_schema_conformance,
    openapi_checks.negative_data_rejection,
]
EXAMPLES = int(os.environ.get("EXAMPLES", "15"))  # per address; set it to look harder

sqlite_only = pytest.mark.parametrize("engine", ["sqlite"], indirect=True)


def described(client: Any) -> dict[str, Any]:
    """What the service says of itself."""
    document: dict[str, Any] = client.get("/api/openapi.json").json()
    return document


@sqlite_only
def test_any_request_gets_an_answer_that_is_described(alone: Any, raw: Call, tell: Call) -> None:
    """Good or bad, random or near the limits: never a fault, never a shape of its own."""
    tell(alone, raw(1, "job"), raw(2))
    document = described(alone)
    for path in document["paths"].values():  # that job is there, so most questions find it
        for operation in path.values():
            for parameter in operation.get("parameters", []):
                if parameter["name"] == "job":
                    parameter["schema"] = {"type": "string", "enum": [JOB, JOB[:-1] + "b"]}
                if parameter["name"] == "wait":
                    parameter["schema"]["maximum"] = 0
    with requests.Session() as session:
        session.trust_env = False
        for operation in schemathesis.openapi.from_dict(document).get_all_operations():
            held(operation.ok(), session, str(alone.base_url))


def held(operation: Any, session: requests.Session, address: str) -> None:
    """Hold so many requests to one address against the description."""
    cases = [operation.as_strategy(mode) for mode in GenerationMode]

    @settings(
        max_examples=EXAMPLES,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @seed(1)
    @given(case=one_of(cases))
    def run(case: Any) -> None:
        case.call_and_validate(
            base_url=address, session=session, allow_redirects=False, checks=HELD
        )

    run()


@sqlite_only
def test_every_address_stands_in_its_page(alone: Any) -> None:
    """The reference names each address of the service, and no other."""
    found = {
        f"{method.upper()} {path}"
        for path, methods in described(alone)["paths"].items()
        for method in methods
    }
    text = PAGE.read_text(encoding="utf-8")
    named = set(re.findall(r"`((?:GET|POST|PUT) /[^ `?]*)`", text))
    assert named == found


@sqlite_only
def test_every_key_of_a_request_stands_in_its_page(alone: Any) -> None:
    """Each parameter of an address and each key of what is sent is named in the reference."""
    document = described(alone)
    text = PAGE.read_text(encoding="utf-8")
    names = {
        parameter["name"]
        for methods in document["paths"].values()
        for operation in methods.values()
        for parameter in operation.get("parameters", [])
    }
    shapes = document["components"]["schemas"]
    names |= {key for shape in shapes.values() for key in shape.get("properties", {})}
    assert not [name for name in sorted(names) if f"`{name}`" not in text]


def test_every_role_stands_in_its_page() -> None:
    """The table of who may do what is the program's own."""
    text = PAGE.read_text(encoding="utf-8")
    for address, roles in MAY_CALL.items():
        (line,) = re.findall(rf"^\| `{re.escape(address)}(?:\?[^`]*)?` \|.*$", text, re.MULTILINE)
        told = line.rstrip("| ").rpartition("|")[2].strip()
        wanted = (
            "anybody"
            if "nobody" in roles
            else "every role"
            if len(roles) == len(ROLES)
            else (", ".join(role for role in ROLES if role in roles))
        )
        assert told == wanted, address
