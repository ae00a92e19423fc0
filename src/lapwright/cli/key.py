"""``lapwright key``: a key of one's own to sign papers with."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import click

from lapwright.cli.keep import to_write
from lapwright.cli.options import Refused, reader_options
from lapwright.errors import LapwrightError
from lapwright.handover.keys import Key, check_term, fingerprint, is_locked, new_key, read_key
from lapwright.readings.text import load
from lapwright.report.figures import Reader

PASSPHRASE = "LAPWRIGHT_PASSPHRASE"


@click.command("key")
@click.argument("file", type=click.Path())
@click.option("--name", required=True, help="Who signs: a person or a firm.")
@reader_options
def key_command(file: str, name: str, units: Any, lang: Any) -> None:
    """Make a key that signs papers, in a new FILE that only you can read."""
    reader = Reader(lang, units)
    try:
        secret = os.environ.get(PASSPHRASE) or None
        content, key = new_key(name, now=datetime.now(UTC), passphrase=secret)
        with to_write(file) as new:
            new.write(content)
    except LapwrightError as error:
        raise Refused(error, reader) from None
    click.echo(reader.say("proof", "key_made", {"file": file}))
    click.echo(reader.say("proof", "fingerprint", {"print": fingerprint(key.certificate)}))
    click.echo(reader.say("proof", "key_note"))


def opened_key(file: str, reader: Reader) -> Key:
    """A key that is valid today; its passphrase from the environment, else asked for.

    Raises
    ------
    FileUnreadable
        As :func:`~lapwright.readings.text.load` and :func:`~lapwright.handover.keys.read_key`.
    """
    content = load(Path(file), file=file)
    secret = os.environ.get(PASSPHRASE)
    if secret is None and is_locked(content):
        secret = click.prompt(reader.say("proof", "passphrase"), hide_input=True, err=True)
    key = read_key(content, name=file, passphrase=secret)
    check_term(key, now=datetime.now(UTC), name=file)
    return key
