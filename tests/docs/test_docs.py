"""The pages show what the program does today: their commands are run, their tables are complete.

A ``console`` block holds ``$ lapwright ...`` lines, each followed by what it prints, 100
signs wide. A ``csv`` block follows a line "File `morning.csv`:" (a new file) or "Add to
`morning.csv`:" (more rows). A ``python`` block is a doctest. A ``sh`` block is not run, but
what it calls must exist. Blocks of one page share a folder, which begins with the bundled
examples. ``scripts/docs --record`` writes today's output and sentences into the pages.
"""

from __future__ import annotations

import doctest
import os
import re
import shlex
import shutil
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any, get_args

import click
import pytest
from click.testing import CliRunner

from lapwright.cli import main
from lapwright.job.morning import find_window
from lapwright.readings import columns
from lapwright.readings.strips import read_welds
from lapwright.report.figures import Reader, answer_figures
from lapwright.window.answer import Question, Verdict
from lapwright.words import LANGUAGES, Language

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src" / "lapwright"
EXAMPLES = SOURCE / "examples"
DOCS = ROOT / "docs"
REFERENCE = DOCS / "reference"
PAGES = [ROOT / "README.md", *sorted(DOCS.rglob("*.md"))]
TERMINAL = {"COLUMNS": "100", "NO_COLOR": "1", "FORCE_COLOR": None}
RECORD = "RECORD_DOCS" in os.environ
LONGEST_README = 120  # lines
SENTENCES = {
    language: tomllib.loads((SOURCE / "words" / f"{language}.toml").read_text(encoding="utf-8"))
    for language in LANGUAGES
}

_BLOCK = re.compile(r"^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
_FILE = re.compile(r"(File|Add to) `([^`]+)`[^`\n]*:\n+\Z")
_WITHIN = re.compile(r"\[[^\]]*\]\(#([^)]+)\)")


def _read(page: Path) -> str:
    return page.read_text(encoding="utf-8")


def _same(page: Path, today: str) -> None:
    """The page is as it would be written today; while recording it becomes so."""
    if RECORD:
        page.write_text(today, encoding="utf-8")
    assert _read(page).splitlines() == today.splitlines()


# --- what the pages run ----------------------------------------------------------------------


def _console(block: str) -> str:
    """The block with what its commands print now."""
    lines = []
    for line in block.splitlines():
        if line.startswith("$ "):
            program, *arguments = shlex.split(line[2:])
            assert program == "lapwright", "a console block runs lapwright; others stand in sh"
            printed = CliRunner().invoke(main, arguments, env=TERMINAL)
            if not isinstance(printed.exception, SystemExit | None):
                raise printed.exception
            lines += [line, *(each.rstrip() for each in printed.output.rstrip().splitlines()), ""]
    return "\n".join(lines[:-1]) + "\n"


def _python(block: str, page: Path, names: dict[str, Any]) -> None:
    said: list[str] = []
    test = doctest.DocTestParser().get_doctest(block, names, page.name, None, 0)
    assert test.examples, "a python block holds >>> lines"
    failed, _ = doctest.DocTestRunner(verbose=False).run(test, out=said.append, clear_globs=False)
    names.update(test.globs)
    assert not failed, "".join(said)


def _shell(block: str) -> None:
    """What a sh block calls exists: the target of make, the options of a command."""
    for line in block.splitlines():
        program, *arguments = shlex.split(line, comments=True) or [""]
        if program == "make":
            targets = re.findall(r"^([a-z]+):", _read(ROOT / "Makefile"), re.MULTILINE)
            assert {word for word in arguments if "=" not in word} <= set(targets)
        elif program == "lapwright":
            name, *rest = arguments
            _commands()[name].make_context(name, rest)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.relative_to(ROOT).as_posix())
def test_page_shows_what_the_program_prints(
    page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Every command and example in a page gives, run in order, exactly what stands below it."""
    for example in EXAMPLES.iterdir():
        shutil.copy(example, tmp_path)
    monkeypatch.chdir(tmp_path)
    names: dict[str, Any] = {}

    def run(found: re.Match[str]) -> str:
        kind, block = found.groups()
        named = _FILE.search(found.string[: found.start()])
        assert named or kind != "csv", "say which file: File `name.csv`:"
        if named:
            mode = "w" if named[1] == "File" else "a"
            with Path(named[2]).open(mode, encoding="utf-8") as file:
                file.write(block)
        elif kind == "console":
            return found[0].replace(block, _console(block))
        elif kind == "python":
            _python(block, page, names)
        elif kind == "sh":
            _shell(block)
        else:
            assert kind == "text", "console, csv, python, sh or text"
        return found[0]

    _same(page, _BLOCK.sub(run, _read(page)))


def test_readme_stays_short() -> None:
    """The README is read standing: at most 120 lines, and it shows the window."""
    text = _read(ROOT / "README.md")
    assert len(text.splitlines()) <= LONGEST_README
    assert "](docs/pictures/window.svg)" in text


def test_every_page_is_linked() -> None:
    """A page that no other page links to is found by nobody; a folder stands for its README."""
    linked = {
        (page.parent / target).resolve()
        for page in PAGES
        for target in re.findall(r"\]\(([^)#\s]+)", _read(page))
    }
    linked |= {folder / "README.md" for folder in linked}
    assert not [page for page in PAGES[1:] if page not in linked]


# --- what the reference holds ----------------------------------------------------------------


def _commands() -> Mapping[str, click.Command]:
    context = click.Context(main)
    assert isinstance(main, click.Group)
    found = {name: main.get_command(context, name) for name in main.list_commands(context)}
    return {name: command for name, command in found.items() if command is not None}


def _sections(page: Path) -> dict[str, str]:
    """Text under each second-level heading, by its anchor."""
    parts = re.split(r"^## (.+)$", _read(page), flags=re.MULTILINE)[1:]
    anchors = (re.sub(r"[^\w -]", "", title.lower()).replace(" ", "-") for title in parts[::2])
    return dict(zip(anchors, parts[1::2], strict=True))


def _cells(row: str) -> list[str]:
    return [cell.strip() for cell in re.split(r"(?<!\\)\|", row)[1:-1]]


def _rows(page: Path) -> list[list[str]]:
    """Cells of every table row of a page, headers left out."""
    lines = _read(page).splitlines()
    return [
        _cells(line)
        for number, line in enumerate(lines)
        if line.startswith("|")
        and not line.startswith("|-")
        and lines[number + 1 :][:1] != ["|" + "---|" * len(_cells(line))]
    ]


@pytest.mark.parametrize("name", _commands())
def test_every_command_and_option_has_its_place(name: str) -> None:
    """The section of a command, with the groups it links to, names all its options and no other."""
    sections = _sections(REFERENCE / "commands.md")
    own = sections[f"lapwright-{name}"]
    groups = [sections[anchor] for anchor in _WITHIN.findall(own)]
    named = {
        option
        for text in (own, *groups)
        for row in re.findall(r"^\| (`--.+?) \|", text, re.MULTILINE)
        for option in re.findall(r"`(--[a-z-]+)", row)
    }
    options = [each for each in _commands()[name].params if isinstance(each, click.Option)]
    assert named == {option for each in options for option in each.opts}


def _table(page: Path, section: str, *, languages: tuple[Language, ...]) -> str:
    """The page with the sentences of today in its one table; what people wrote stays."""
    text = _read(page)
    table = re.search(r"^(\|.*)\n\|-.*\n((?:\|.*\n)*)", text, re.MULTILINE)
    assert table, "the page holds a table"
    width = len(_cells(table[1]))
    old = {cells[0]: cells for cells in map(_cells, table[2].splitlines())}
    rows = []
    for code in SENTENCES["en"][section]:
        said = [SENTENCES[language][section][code].replace("|", "\\|") for language in languages]
        cells = [f"`{code}`", *said]
        rows.append(cells + old.get(cells[0], [""] * width)[len(cells) :])
    today = "".join(f"| {' | '.join(cells)} |\n" for cells in rows)
    return text[: table.start(2)] + today + text[table.end(2) :]


@pytest.mark.parametrize(
    ("page", "section", "languages"),
    [
        ("verdicts", "verdict", ("en",)),
        ("cautions", "caution", LANGUAGES),
        ("errors", "error", LANGUAGES),
    ],
)
def test_every_code_has_its_row(page: str, section: str, languages: tuple[Language, ...]) -> None:
    """Each verdict, caution and error stands in its table beside its sentence, no cell empty."""
    path = REFERENCE / f"{page}.md"
    _same(path, _table(path, section, languages=languages))
    assert all(all(cells) for cells in _rows(path))


def test_every_verdict_has_words() -> None:
    """The model's verdicts are exactly those that the sentences, and so the page, know."""
    assert set(get_args(Verdict)) == set(SENTENCES["en"]["verdict"])


def test_every_column_and_grade_is_explained() -> None:
    """Each column of a strip file and each word a cell may hold stands in the page of files."""
    text = _read(REFERENCE / "files.md")
    names = [*columns.HEADER.split(","), "note"]
    names += [column for name in columns.QUANTITIES for column in columns.columns_of(name)]
    words = [*columns.PULL_WORDS, *columns.OVERHEAT_WORDS]
    assert not [name for name in (*names, *words) if f"`{name}`" not in text]


def test_every_key_of_the_json_is_explained() -> None:
    """Each key that ``--json`` prints in US units stands in the page of the JSON."""
    welds = read_welds(EXAMPLES / "morning.csv")
    figures = answer_figures(find_window(Question(welds=welds)), Reader())
    text = _read(REFERENCE / "json.md")

    def keys(value: Any) -> set[str]:
        inner = value.values() if isinstance(value, dict) else value
        deeper = [keys(each) for each in inner] if isinstance(value, dict | list) else []
        return set(value if isinstance(value, dict) else ()).union(*deeper)

    assert not [key for key in sorted(keys(figures)) if f"`{key}`" not in text]


def test_every_glossary_word_is_in_both_languages() -> None:
    """A word of the trade has its meaning and its Spanish, the same Spanish as in the program."""
    rows = _rows(REFERENCE / "glossary.md")
    assert all(word and meaning and spanish for word, meaning, spanish in rows)
    spanish_of = {word: spanish for word, _, spanish in rows}
    for code in ("bottom", "top", "window", "set_point", "sheet"):
        word, spanish = (SENTENCES[language]["label"][code] for language in LANGUAGES)
        assert spanish_of[word] == spanish


def test_every_figure_is_where_its_source_says() -> None:
    """The page of sources points at constants that exist in the files it names."""
    lost = [
        f"{path}: {name}"
        for *_, place in _rows(REFERENCE / "sources.md")
        for path, names in re.findall(r"`([\w/]+\.py)`(?: \(([^)]*)\))?", place)
        for name in re.findall(r"`(\w+)`", names) or [""]
        if name not in _read(SOURCE / path)
    ]
    assert not lost
