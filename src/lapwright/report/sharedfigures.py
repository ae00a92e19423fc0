"""What was welded with the same machine, person, power or sheets: figures and plain words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from rich.text import Text

from lapwright.proof.runs import Welded
from lapwright.proof.shared import Blame, Shared
from lapwright.record.replay import Record
from lapwright.report.figures import Figures, Reader
from lapwright.report.recordfigures import Told, run_figures


@dataclass(frozen=True)
class LateFind:
    """A place where something was found, and the runs that share what is blamed.

    Parameters
    ----------
    record : Record
        Where names are looked up.
    run : Welded
        The run at the place.
    blame : str
        What is thought to be bad.
    shared : sequence of Shared
        By chain, the most feet first.
    """

    record: Record
    run: Welded
    blame: Blame
    shared: Sequence[Shared]

    @property
    def length(self) -> float:
        """Seam welded by all of them, earlier runs beneath counted too. [m]"""
        return sum(each.length for each in self.shared)

    def blamed(self, told: Told) -> str:
        """The name of what is blamed."""
        if self.blame == "day":
            return self.run.run.day
        return told.name(self.run.run[self.blame])


def shared_figures(find: LateFind, reader: Reader) -> Figures:
    """The runs of a late find, in the reader's units.

    Parameters
    ----------
    find : LateFind
        What was found and what shares it.
    reader : Reader
        Language and units.
    """
    told = Told(find.record, reader)
    return {
        "run": find.run.run.id,
        "by": find.blame,
        "blamed": find.blamed(told),
        **told.lengths(length=find.length),
        "chains": [
            {
                "operator": told.name(each.chain.operator),
                "machine": told.name(each.chain.machine),
                **told.lengths(length=each.length),
                "runs": [run_figures(run, told) for run in each.runs],
            }
            for each in find.shared
        ],
    }


def shared_text(find: LateFind, reader: Reader) -> Text:
    """The same for the terminal.

    Parameters
    ----------
    find : LateFind
        What was found and what shares it.
    reader : Reader
        Language and units.
    """
    told, text = Told(find.record, reader), Text()
    what = {"length": find.length, "blamed": find.blamed(told)}
    text.append(reader.say("shared", find.blame, what) + "\n", style="bold")
    for each in find.shared:
        who = {"operator": told.name(each.chain.operator), "machine": told.name(each.chain.machine)}
        text.append(f"  {reader.say('shared', 'chain', {'length': each.length, **who})}\n")
        for run in each.runs:
            ends = {"start": told.station(run.first), "end": told.station(run.last)}
            place = reader.say("trace", "from_to", ends)
            text.append(f"    {run.seam} {place}, {run.began:%Y-%m-%d %H:%M}\n")
    text.append(reader.say("shared", "look") + "\n")
    return text
