"""Rules that hold for every set of layers, every file and every day."""

from dataclasses import replace
from random import Random

from hypothesis import example, given
from hypothesis import strategies as st

from lapwright.errors import FileUnreadable
from lapwright.job.change import EVENTS, Known, Situation, due, out_of_service
from lapwright.job.rules import ALWAYS_ON, LAYERS, RULE_KINDS, Clause, RuleBook, merge
from lapwright.readings.rules import UNIT_WORDS, default_layer, parse_layer, read_rule_book

# Rules of a pair are left out: random values would contradict each other.
FREE = ["generator_power", "cord_length", "water_dip", "lunch", "long_stop", "p_sound_low"]


@st.composite
def clauses(draw: st.DrawFn) -> Clause:
    """Any clause on a rule that stands alone."""
    rule = draw(st.sampled_from(FREE))
    switch = RULE_KINDS[rule].quantity == "switch"
    value = float(draw(st.integers(0, 1 if switch else 5)))
    layer = draw(st.sampled_from(LAYERS))
    return Clause(rule, value, value, "", layer, "1", "1", "QL", line=draw(st.integers(1, 10**6)))


layers = st.lists(st.lists(clauses(), max_size=4, unique_by=lambda one: one.line), max_size=5)


def at_least_as_strict(one: float, other: float, rule: str) -> bool:
    """Whether a value binds no less than another."""
    return one >= other if RULE_KINDS[rule].stricter == "higher" else one <= other


@given(layers, st.randoms())
def test_the_order_of_layers_changes_nothing(said: list[list[Clause]], random: Random) -> None:
    """The same layers in any order give the same values and the same losing values."""
    mixed = [list(layer) for layer in said]
    for layer in mixed:
        random.shuffle(layer)
    random.shuffle(mixed)
    assert merge(mixed) == merge(said)


@given(layers)
def test_nothing_a_layer_says_is_lost(said: list[list[Clause]]) -> None:
    """Every clause governs or is visible as losing, exactly once."""
    book = merge(said)
    shown = [one for rule in book.rules.values() for one in (rule.governing, *rule.losing)]
    assert sorted(map(repr, shown)) == sorted(repr(one) for layer in said for one in layer)


@given(layers)
def test_no_layer_is_undercut(said: list[list[Clause]]) -> None:
    """The governing value is at least as strict as every layer; defaults bind nobody."""
    book = merge(said)
    for one in (one for layer in said for one in layer if one.layer != "default"):
        assert at_least_as_strict(book[one.rule].value, one.value, one.rule)
        assert book[one.rule].governing.layer != "default"


@given(layers, clauses())
def test_one_more_layer_never_loosens(said: list[list[Clause]], more: Clause) -> None:
    """A further layer can only tighten what other layers (not defaults) have set."""
    before, after = merge(said), merge([*said, [more]])
    for name, rule in before.rules.items():
        if rule.governing.layer != "default":
            assert at_least_as_strict(after[name].value, rule.value, name)


WITH_UNITS = [
    (kind.name, unit) for kind in RULE_KINDS.values() for unit in UNIT_WORDS[kind.quantity]
]


@given(
    st.lists(
        st.tuples(
            st.sampled_from(WITH_UNITS), st.integers(1, 36), st.booleans(), st.integers(0, 3)
        ),
        unique_by=lambda one: one[0][0],
    )
)
def test_a_clause_knows_its_line(
    rules: list[tuple[tuple[str, str], int, bool, int]],
) -> None:
    """Wherever a rule stands, among remarks and blank lines, its line names it."""
    text = 'layer = "code"\nedition = "1"\nset_by = "QL"\n'
    for (name, unit), value, _, blank in sorted(rules, key=lambda one: not one[2]):
        one_line = f'{name} = {{ value = {value}, unit = "{unit}", clause = "[x]" }}\n'
        table = f'[{name}]\nclause = """\n[x]\n"""\nvalue = {value}\nunit = "{unit}"\n'
        in_line = {one[0][0]: one[2] for one in rules}[name]
        text += "# [remark]\n" * blank + "\n" * blank + (one_line if in_line else table)
    rows = text.split("\n")
    read = parse_layer(text, file="x.toml")
    assert len(read) == len(rules)
    for clause in read:
        assert rows[clause.line - 1].lstrip("[").startswith(clause.rule)


PIECES = st.sampled_from(
    [
        'layer = "code"\n',
        'edition = "1"\n',
        'set_by = "x"\n',
        "[lunch]\n",
        "[cord_wire]\n",
        "[[a]]\n",
        "value = 1\n",
        "value = true\n",
        "value = 1e400\n",
        f"value = {10**400}\n",
        "value = []\n",
        'unit = "AWG"\n',
        'clause = "c"\n',
        "lunch = { value = true }\n",
        "lunch = 2026-01-01\n",
        "a.b.c = 1\n",
        *('"""', "\r", "\x00", "= ", "{", "é"),
    ]
)


@given(st.lists(PIECES, max_size=14).map("".join))
@example("")
@example('layer = "code"\r\n[a.b.c]\r\n')
def test_any_text_is_read_or_refused_with_a_line(text: str) -> None:
    """No text breaks the reader: it gives clauses, or an error with a line of the file."""
    try:
        row = min((one.line for one in parse_layer(text, file="x.toml")), default=1)
    except FileUnreadable as error:
        row = error.data["row"]
    assert 1 <= row <= len(text.split("\n"))


DEFAULTS = read_rule_book([])
words = st.sampled_from([None, "a", "b"])
temperatures = st.sampled_from([None, 270.0, 290.0, 296.0, 320.0])
situations = st.builds(
    Situation, operator=words, cord=words, lot=words, wind=words, ambient=temperatures,
    sheet=temperatures, thickness=st.sampled_from([None, 0.0012, 0.0015]),
)  # fmt: skip
days = st.builds(
    Known,
    now=situations,
    passed=st.none() | situations,
    events=st.lists(st.sampled_from(EVENTS), max_size=3).map(tuple),
    since_pass=st.sampled_from([None, 0.0, 8000.0, 20000.0]),
    welded=st.sampled_from([None, 0.0, 500.0]),
    longest_stop=st.sampled_from([None, 0.0, 1800.0]),
    speed=st.sampled_from([None, 0.04, 0.05]),
    tested_speeds=st.sampled_from([None, (0.045, 0.055)]),
    p_sound=st.sampled_from([None, 0.5, 0.95]),
)


def fired(known: Known, rules: RuleBook) -> set[str]:
    """Names of the triggers."""
    return {trigger.name for trigger in due(known, rules)}


@given(days, st.sampled_from(EVENTS))
def test_one_more_event_takes_no_reason_away(known: Known, event: str) -> None:
    """An event adds its reason and leaves the others; doubt is always heard."""
    more = fired(replace(known, events=(*known.events, event)), DEFAULTS)
    assert more == fired(known, DEFAULTS) | {event}


@given(days, st.sets(st.sampled_from(sorted(set(RULE_KINDS) - set(ALWAYS_ON)))))
def test_switching_off_only_takes_its_own_reason_away(known: Known, off: set[str]) -> None:
    """Rules switched off by a layer remove their own triggers and no other reason."""
    triggers = [name for name in off if RULE_KINDS[name].urgency]
    tables = "".join(f'[{name}]\nvalue = false\nclause = "1"\n' for name in triggers)
    head = 'layer = "company"\nedition = "1"\nset_by = "QL"\n'
    rules = merge([default_layer(), parse_layer(head + tables, file="x.toml")])
    left = fired(known, rules) - {"not_known"}
    assert left == fired(known, DEFAULTS) - set(triggers) - {"not_known"}


@given(days)
def test_not_known_is_never_silence(known: Known) -> None:
    """A cord not known at the pass or now is asked for; without a pass a test is due."""
    asked = {ask for trigger in due(known, DEFAULTS) for ask in trigger.asks}
    if known.passed is None:
        assert "no_pass" in fired(known, DEFAULTS)
    else:
        unknown = None in (known.passed.cord, known.now.cord)
        assert ("cord" in asked) == unknown


@given(st.lists(st.booleans()))
def test_service_depends_on_two_in_a_row(passes: list[bool]) -> None:
    """Two failures at the end are out, two passes at the end are in, whatever came before."""
    assert out_of_service([*passes, False, False], rules=DEFAULTS)
    assert not out_of_service([*passes, True, True], rules=DEFAULTS)
