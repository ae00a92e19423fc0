"""``lapwright serve``: the morning page on this machine."""

from __future__ import annotations

from typing import Any

import click

from lapwright.cli.options import Refused, reader_options
from lapwright.errors import LapwrightError
from lapwright.report.figures import Reader


@click.command("serve")
@click.option(
    "--host", default="127.0.0.1", help="Address to listen on; this machine only unless said."
)
@click.option("--port", type=click.IntRange(1, 65535), default=8642, help="Port to listen on.")
@reader_options
def serve_command(host: str, port: int, units: Any, lang: Any) -> None:
    """Serve the morning page until stopped with Ctrl-C."""
    import socket

    import uvicorn

    from lapwright.web.morning import morning_app

    reader = Reader(lang, units)
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError as error:
            reason = str(error.strerror)
            raise Refused(
                LapwrightError("cannot_serve", place=f"{host}:{port}", reason=reason), reader
            ) from None
    click.echo(reader.say("label", "serving", {"place": f"http://{host}:{port}/"}))
    uvicorn.run(morning_app(), host=host, port=port, log_level="warning")
