"""``lapwright rules``: which rule governs this job, and who says so."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from lapwright.cli.options import Refused, reader_options, store_option
from lapwright.errors import LapwrightError
from lapwright.job.rules import RULE_KINDS, TRIGGERS, RuleBook
from lapwright.readings.rules import find_rule, read_rule_book
from lapwright.report.figures import Reader
from lapwright.report.rulefigures import from_files, rules_figures
from lapwright.report.rulestext import count_text, rule_text, rules_text, triggers_text


@click.command("rules")
@click.argument("files", nargs=-1, type=click.Path())
@click.option("--all", "everything", is_flag=True, help="The defaults too.")
@click.option("--triggers", is_flag=True, help="Only what asks for a test weld.")
@click.option("--explain", metavar="RULE", help="One rule, by key or name: why, and who says so.")
@click.option("--check", is_flag=True, help="Only check the files.")
@click.option("--keep", is_flag=True, help="Record FILES as the job's rules, in force from now.")
@click.option("--in-force", is_flag=True, help="The recorded rules, FILES on top.")
@click.option("--job", help="Id of the job or the beginning of it; the only one unless said.")
@store_option
@reader_options
@click.option("--json", "as_json", is_flag=True, help="One JSON object, defaults included.")
def rules_command(
    files: tuple[str, ...],
    units: Any,
    lang: Any,
    everything: bool,
    triggers: bool,
    explain: str | None,
    check: bool,
    keep: bool,
    in_force: bool,
    job: str | None,
    store: str,
    as_json: bool,
) -> None:
    """The job's rules, merged from the rule FILES: the stricter clause governs."""
    reader = Reader(lang, units)
    try:
        book = read_rule_book(Path(file) for file in files)
        if in_force:
            from lapwright.cli.trace import judged_by, opened_record

            book = judged_by(opened_record(store, None, job, reader), files, reader)
        one = None if explain is None else find_rule(explain, language=reader.language)
    except LapwrightError as error:
        raise Refused(error, reader) from None
    console = Console(highlight=False, soft_wrap=True)
    if keep:
        from lapwright.cli.keeprules import keep_rules

        keep_rules(files, store=store, job=job, reader=reader)
    elif check:
        click.echo(_checked(files, book, reader))
    elif as_json:
        names = [one] if one else TRIGGERS if triggers else RULE_KINDS
        click.echo(json.dumps(rules_figures(book, names, reader), ensure_ascii=False))
    elif one:
        console.print(rule_text(one, book, reader), end="")
    else:
        mine = [name for name in from_files(book) if not triggers or name in TRIGGERS]
        if triggers and not everything:
            console.print(triggers_text(book, reader), end="")
        every = TRIGGERS if triggers else RULE_KINDS
        console.print(rules_text(book, every if everything else mine, reader), end="")
        if not triggers:
            click.echo(count_text(book, reader), nl=False)


def _checked(files: tuple[str, ...], book: RuleBook, reader: Reader) -> str:
    clauses = sum(
        clause.layer != "default"
        for rule in book.rules.values()
        for clause in (rule.governing, *rule.losing)
    )
    return reader.say("rules", "checked", {"files": len(files), "clauses": clauses})
