"""The command line: one command per moment of the crew's day.

Each command reads, asks ``job`` and prints; it decides nothing. Commands are imported
when called, so that ``window`` does not pay for charts or pages.
"""

from __future__ import annotations

import importlib
import os
from typing import ClassVar

import click

from lapwright import __version__

# The tables are small: a second thread of the linear algebra only waits. Before numpy is loaded.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


class _Lazy(click.Group):
    """A group whose commands live in modules of the same name."""

    commands_in: ClassVar[dict[str, str]] = {
        "plan": "plan",
        "power": "power",
        "rules": "rules",
        "day": "day",
        "window": "window",
        "next": "window",
        "ladder": "ladder",
        "lap": "lap",
        "replay": "replay",
        "practice": "practice",
        "serve": "serve",
        "jobs": "keep",
        "verify": "keep",
        "export": "keep",
        "import": "keep",
        "backup": "keep",
        "restore": "keep",
        "move": "keep",
        "peel": "peel",
        "scale-card": "scalecard",
        "band": "band",
        "cuts": "cuts",
        "tally": "tally",
        "learn": "learn",
        "displays": "displays",
        "agreement": "agreement",
        "trace": "trace",
        "suspect": "trace",
        "shared": "shared",
        "symptom": "symptom",
        "closeout": "closeout",
        "key": "key",
        "account": "account",
    }

    def list_commands(self, _ctx: click.Context) -> list[str]:
        """Commands in the order of a morning."""
        return list(self.commands_in)

    def get_command(self, _ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command, imported now."""
        module = self.commands_in.get(cmd_name)
        if module is None:
            return None
        loaded = importlib.import_module(f"lapwright.cli.{module}")
        command: click.Command = getattr(loaded, f"{cmd_name.replace('-', '_')}_command")
        return command


@click.command(cls=_Lazy, context_settings={"auto_envvar_prefix": "LAPWRIGHT"})
@click.version_option(__version__, prog_name="lapwright")
def main() -> None:
    """Find, hold and prove the weld window of a hot-air welded roof lap.

    Reminds, never declares a roof, a weld or a wiring safe: local code, the membrane
    maker's instructions and licensed people decide.
    """
