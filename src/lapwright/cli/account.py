"""``lapwright account``: who may come in, from the machine that serves."""

from __future__ import annotations

from typing import Any

import click
from rich.console import Console
from rich.table import Table

from lapwright.cli.keep import opened_store
from lapwright.cli.options import reader_options, store_option
from lapwright.errors import LapwrightError
from lapwright.report.figures import Reader
from lapwright.store import Store
from lapwright.store.people import Account
from lapwright.web.access import LOCAL, ROLES, Role
from lapwright.web.accounts import add_account, set_password, shut_out


@click.group("account")
def account_command() -> None:
    """Accounts of the crew: add, list, password, revoke."""


def _named(store: Store, name: str) -> Account:
    account = store.people.account_named(name)
    if account is None:
        raise LapwrightError("account_unknown", name=name)
    return account


def _ask_password(reader: Reader) -> str:
    """Typed twice, never an argument: those stay in the shell's history."""
    return str(click.prompt(reader.say("label", "password"), hide_input=True,
                            confirmation_prompt=reader.say("label", "password_again")))  # fmt: skip


@account_command.command("add")
@click.argument("name")
@click.option("--role", type=click.Choice(ROLES), required=True, help="What the account may do.")
@click.option("--by-invite", is_flag=True, help="No password: comes in by the foreman's link only.")
@store_option
@reader_options
def add(name: str, role: Role, by_invite: bool, store: str, units: Any, lang: Any) -> None:
    """Make an account; asks for its password."""
    reader = Reader(lang, units)
    with opened_store(store, reader, is_new=True) as opened:
        password = "" if by_invite else _ask_password(reader)
        add_account(opened, LOCAL, name, role=role, password=password)
    click.echo(reader.say("label", "account_made", {"account": name, "role": role}))


@account_command.command("list")
@store_option
@reader_options
def list_accounts(store: str, units: Any, lang: Any) -> None:
    """Show accounts, and how many phones each has in."""
    reader = Reader(lang, units)
    table = Table(
        *(reader.say("label", word) for word in ("account", "role", "password", "phones"))
    )
    with opened_store(store, reader, is_new=True) as opened:
        live = [one.account for one in opened.people.devices() if one.revoked is None]
        for one in opened.people.accounts():
            has = reader.say("label", "yes" if one.hash else "no")
            table.add_row(one.name, one.role, has, str(live.count(one.id)))
    Console().print(table)


@account_command.command("password")
@click.argument("name")
@store_option
@reader_options
def password(name: str, store: str, units: Any, lang: Any) -> None:
    """Set another password; whoever is signed in to the account is out."""
    reader = Reader(lang, units)
    with opened_store(store, reader, is_new=True) as opened:
        account = _named(opened, name)
        set_password(opened, LOCAL, account, _ask_password(reader))
    click.echo(reader.say("label", "password_set", {"account": name}))


@account_command.command("revoke")
@click.argument("name")
@store_option
@reader_options
def revoke(name: str, store: str, units: Any, lang: Any) -> None:
    """Shut an account out on all phones; what it recorded stays."""
    reader = Reader(lang, units)
    with opened_store(store, reader, is_new=True) as opened:
        shut_out(opened, LOCAL, _named(opened, name))
    click.echo(reader.say("label", "account_shut_out", {"account": name}))
