"""``lapwright serve``: the page and the record, on this machine or for a crew."""

from __future__ import annotations

import socket
import ssl
from typing import Any

import click

from lapwright.cli.options import Refused, reader_options, store_option
from lapwright.errors import LapwrightError
from lapwright.report.figures import Reader
from lapwright.web.serving import Serving, start


@click.command("serve")
@click.option(
    "--host", default="127.0.0.1", help="Address to listen on; this machine only unless said."
)
@click.option("--port", type=click.IntRange(1, 65535), default=8642, help="Port to listen on.")
@store_option
@click.option("--photos", type=click.Path(), help="Folder of photos; beside the store unless said.")
@click.option("--workers", type=click.IntRange(1, 64), default=1, help="Processes; 1 unless said.")
@click.option("--cert", type=click.Path(), help="Your own TLS certificate (PEM), with --key.")
@click.option("--key", type=click.Path(), help="Key of the certificate (PEM).")
@click.option("--behind-proxy", "proxy", help="Address a TLS proxy of yours sends from: 127.0.0.1.")
@reader_options
def serve_command(
    host: str,
    port: int,
    store: str,
    photos: str | None,
    workers: int,
    cert: str | None,
    key: str | None,
    proxy: str | None,
    units: Any,
    lang: Any,
) -> None:
    """Serve the page until stopped with Ctrl-C.

    On this machine without login; on any other address with accounts.
    """
    reader = Reader(lang, units)
    serving = Serving(host, port, store, photos or "", workers, cert or "", key or "", proxy or "")
    try:
        _check_certificate(serving)
        _check_accounts(serving)
        _check_port(serving)
    except LapwrightError as error:
        raise Refused(error, reader) from None
    scheme = "https" if serving.cert else "http"
    click.echo(reader.say("label", "serving", {"place": f"{scheme}://{host}:{port}/"}))
    if serving.door.login and not serving.door.secure:
        click.echo(reader.say("label", "serving_plain"), err=True)
    start(serving)


def _check_certificate(serving: Serving) -> None:
    if bool(serving.cert) != bool(serving.key):
        raise LapwrightError("cert_and_key")
    if serving.cert:
        try:
            ssl.create_default_context(ssl.Purpose.CLIENT_AUTH).load_cert_chain(
                serving.cert, serving.key
            )
        except OSError as error:  # ssl.SSLError is one
            reason = str(error.strerror or error)
            raise LapwrightError("cert_unfit", file=serving.cert, reason=reason) from None


def _check_accounts(serving: Serving) -> None:
    """Opens the store once, so that tables are made before the workers start."""
    from lapwright.store import open_store

    opened = open_store(serving.store)
    try:
        ready = any(one.role == "foreman" and one.hash for one in opened.people.accounts())
    finally:
        opened.close()
    if serving.door.login and not ready:
        raise LapwrightError("no_account", host=serving.host)


def _check_port(serving: Serving) -> None:
    with socket.socket(socket.AF_INET6 if ":" in serving.host else socket.AF_INET) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((serving.host, serving.port))
        except OSError as error:
            place, reason = f"{serving.host}:{serving.port}", str(error.strerror)
            raise LapwrightError("cannot_serve", place=place, reason=reason) from None
