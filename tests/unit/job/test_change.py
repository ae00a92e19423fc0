"""When a test weld is due, and who may not weld."""

from dataclasses import fields, replace

import pytest

from lapwright.job.change import EVENTS, Known, Situation, due, out_of_service
from lapwright.job.rules import TRIGGERS, RuleBook, merge
from lapwright.readings.rules import default_layer, parse_layer, read_rule_book

MORNING = Situation(
    operator="crew 2",
    machine="1",
    nozzle="40 mm",
    generator="A",
    cord="red",
    membrane="tpo",
    colour="white",
    lot="L1",
    substrate="board",
    wind="light",
    sun="sun",
    thickness=60 * 0.0000254,
    ambient=(70 + 459.67) / 1.8,
    sheet=(95 + 459.67) / 1.8,
)
QUIET = Known(
    now=MORNING,
    passed=MORNING,
    since_pass=3600.0,
    welded=100.0,
    longest_stop=0.0,
    speed=0.0508,
    tested_speeds=(0.0508, 0.0508),
    p_sound=0.95,
)
MINUTE, FOOT, DEGREE_F = 60.0, 0.3048, 1 / 1.8


@pytest.fixture
def rules() -> RuleBook:
    """The defaults."""
    return read_rule_book([])


def with_rule(text: str) -> RuleBook:
    """The defaults and one company rule."""
    head = 'layer = "company"\nedition = "1"\nset_by = "QL"\n'
    return merge([default_layer(), parse_layer(head + text, file="ours.toml")])


def names(known: Known, rules: RuleBook) -> list[str]:
    """Names of the triggers that fire."""
    return [trigger.name for trigger in due(known, rules)]


def test_silence_when_nothing_changed(rules: RuleBook) -> None:
    """Nothing is due while all is known and nothing has changed."""
    assert due(QUIET, rules) == ()


@pytest.mark.parametrize("event", EVENTS)
def test_each_event_makes_a_test_due(event: str, rules: RuleBook) -> None:
    """An event fires its own trigger, once, however often it was tapped."""
    (trigger,) = due(replace(QUIET, events=(event, event)), rules)
    assert trigger.name == event
    assert trigger.clause == rules[event].governing
    halts = {"doubt", "failed_cut", "failed_strip", "voids_close", "symptom"}
    assert trigger.urgency == ("halt" if event in halts else "due")


CHANGED = [
    field.name for field in fields(Situation) if field.name not in ("thickness", "ambient", "sheet")
]


@pytest.mark.parametrize("name", CHANGED)
def test_each_change_makes_a_test_due(name: str, rules: RuleBook) -> None:
    """Another operator, machine, cord and so on fires its trigger with before and now."""
    (trigger,) = due(replace(QUIET, now=replace(MORNING, **{name: "other"})), rules)
    assert trigger.name == f"{name}_changed"
    assert (trigger.before, trigger.now) == (getattr(MORNING, name), "other")
    assert trigger.urgency == ("notice" if name == "lot" else "due")


@pytest.mark.parametrize("sign", [1, -1])
@pytest.mark.parametrize(
    ("name", "rule", "allowed", "too_much"),
    [
        ("ambient", "air_moved", 10 * DEGREE_F, 11 * DEGREE_F),
        ("sheet", "sheet_moved", 20 * DEGREE_F, 21 * DEGREE_F),
        ("thickness", "thickness_changed", 0.000024, 0.0003),  # 60 mil is 1.5 mm, not 48 mil
    ],
)
def test_a_drift_up_or_down(
    name: str, rule: str, allowed: float, too_much: float, sign: int, rules: RuleBook
) -> None:
    """A change as large as the limit is allowed, a larger one fires, up or down."""
    then = getattr(MORNING, name)
    for change, expected in ((allowed, []), (too_much, [rule])):
        now = replace(MORNING, **{name: then + sign * change})
        assert names(replace(QUIET, now=now), rules) == expected


@pytest.mark.parametrize(
    ("name", "rule", "below", "reached"),
    [
        ("longest_stop", "long_stop", 29 * MINUTE, 30 * MINUTE),
        ("since_pass", "time_since_pass", 239 * MINUTE, 240 * MINUTE),
        ("welded", "feet_since_pass", 1499 * FOOT, 1500 * FOOT),
    ],
)
def test_a_count_that_reaches_its_limit(
    name: str, rule: str, below: float, reached: float, rules: RuleBook
) -> None:
    """Stop, hours and feet fire when the limit is reached, not before."""
    assert names(replace(QUIET, **{name: below}), rules) == []
    (trigger,) = due(replace(QUIET, **{name: reached}), rules)
    assert (trigger.name, trigger.now) == (rule, reached)


def test_a_cold_day_asks_for_tests_more_often(rules: RuleBook) -> None:
    """Below 40 F a test is due 2 h after the pass; at 40 F it is not."""
    for ambient_f, expected in ((39.0, ["cold_day"]), (40.0, [])):
        cold = replace(MORNING, ambient=(ambient_f + 459.67) / 1.8)
        known = replace(QUIET, now=cold, passed=cold, since_pass=120 * MINUTE)
        assert names(known, rules) == expected
        assert names(replace(known, since_pass=119 * MINUTE), rules) == []


def test_a_cold_day_not_known_is_asked() -> None:
    """With the drift of the air switched off, its temperature still decides on a cold day."""
    rules = with_rule('[air_moved]\nvalue = false\nclause = "1"\n')
    (trigger,) = due(replace(QUIET, now=replace(MORNING, ambient=None)), rules)
    assert (trigger.name, trigger.asks) == ("not_known", ("ambient",))


@pytest.mark.parametrize("speed", [0.0450, 0.0560])
def test_a_speed_beyond_the_tested_ones(speed: float, rules: RuleBook) -> None:
    """Slower or faster than any passing test weld fires; between them nothing does."""
    known = replace(QUIET, tested_speeds=(0.046, 0.055))
    assert names(known, rules) == []
    assert names(replace(known, speed=speed), rules) == ["speed_beyond_tested"]


def test_a_predicted_loss_of_the_window(rules: RuleBook) -> None:
    """P(sound) below the level fires; at the level or without a window it does not."""
    assert names(replace(QUIET, p_sound=0.89), rules) == ["p_sound_low"]
    assert names(replace(QUIET, p_sound=0.90), rules) == []
    assert names(replace(QUIET, p_sound=None), rules) == []


@pytest.mark.parametrize("side", ["now", "passed"])
def test_not_known_is_asked_in_one_line(side: str, rules: RuleBook) -> None:
    """What is not known now or at the pass is asked, all in one trigger, never silence."""
    known = replace(QUIET, **{side: replace(MORNING, cord=None, sheet=None)}, longest_stop=None)
    (trigger,) = due(known, rules)
    assert trigger.urgency == "ask"
    assert trigger.asks == ("cord", "sheet", "longest_stop")


@pytest.mark.parametrize(
    ("name", "asks"),
    [
        ("since_pass", "since_pass"),
        ("longest_stop", "longest_stop"),
        ("speed", "speed"),
        ("tested_speeds", "speed"),
    ],
)
def test_a_count_not_known_is_asked(name: str, asks: str, rules: RuleBook) -> None:
    """Hours, stop and speed that nobody noted are asked."""
    (trigger,) = due(replace(QUIET, **{name: None}), rules)
    assert (trigger.name, trigger.asks) == ("not_known", (asks,))


def test_a_mere_notice_is_not_asked(rules: RuleBook) -> None:
    """An unknown lot or footage would only give a notice, so nobody is asked."""
    known = replace(QUIET, now=replace(MORNING, lot=None), welded=None)
    assert due(known, rules) == ()


def test_a_rule_that_is_off_neither_fires_nor_asks() -> None:
    """Switched off by a layer, a change is no reason and its absence no question."""
    off = with_rule(
        '[cord_changed]\nvalue = false\nclause = "1"\n[sheet_moved]\nvalue = false\nclause = "2"\n'
    )
    for now in (
        replace(MORNING, cord="blue", sheet=400.0),
        replace(MORNING, cord=None, sheet=None),
    ):
        assert due(replace(QUIET, now=now), off) == ()


def test_a_layer_moves_a_limit() -> None:
    """The governing clause of the job's own layer decides and is cited."""
    rules = with_rule('[long_stop]\nvalue = 10\nunit = "min"\nclause = "4.2"\n')
    (trigger,) = due(replace(QUIET, longest_stop=10 * MINUTE), rules)
    assert (trigger.clause.text, trigger.clause.place) == ("4.2", "ours.toml:4")


def test_without_a_pass_a_test_is_due(rules: RuleBook) -> None:
    """No passing test weld known: that is the reason, and nothing else is asked."""
    assert names(Known(now=Situation()), rules) == ["no_pass"]
    assert names(Known(now=Situation(), events=("doubt",)), rules) == ["doubt", "no_pass"]


def test_the_most_urgent_comes_first(rules: RuleBook) -> None:
    """What halts the chain stands before what is due, a question, a notice."""
    now = replace(MORNING, operator="crew 3", lot="L2", sheet=None)
    known = replace(QUIET, now=now, events=("lunch", "doubt"), p_sound=0.5)
    found = names(known, rules)
    assert found == [
        "doubt",
        "p_sound_low",
        "lunch",
        "operator_changed",
        "not_known",
        "lot_changed",
    ]


def test_every_trigger_can_fire(rules: RuleBook) -> None:
    """Each trigger of the table is reached by some situation."""
    other = Situation(**dict.fromkeys(CHANGED, "other"), thickness=0.002, ambient=270.0, sheet=None)
    all_at_once = replace(
        QUIET,
        now=other,
        events=EVENTS,
        since_pass=1e5,
        welded=1e5,
        longest_stop=1e5,
        speed=1.0,
        p_sound=0.1,
    )
    found = {*names(all_at_once, rules), *names(Known(now=MORNING), rules)}
    hot = replace(QUIET, now=replace(MORNING, sheet=400.0))
    assert found | set(names(hot, rules)) == set(TRIGGERS)


@pytest.mark.parametrize(
    ("passes", "out"),
    [
        ("", False),
        ("P", False),
        ("F", False),
        ("FF", True),
        ("FPF", False),  # a pass between starts the count again
        ("FFP", True),
        ("FFPP", False),
        ("FFPFP", True),
        ("FFPFPP", False),
        ("FFPPF", False),
        ("FFPPFF", True),
        ("FFFPP", False),
        ("PFF", True),
    ],
)
def test_out_from_the_second_failure_to_two_passes(passes: str, out: bool, rules: RuleBook) -> None:
    """A failed repeat takes machine or operator out; only two passes in a row bring them back."""
    assert out_of_service([weld == "P" for weld in passes], rules=rules) is out


def test_the_counts_are_rules() -> None:
    """A stricter layer takes out at the first failure and asks for three passes."""
    rules = with_rule(
        '[fails_to_stop]\nvalue = 1\nclause = "1"\n[passes_to_return]\nvalue = 3\nclause = "1"\n'
    )
    assert out_of_service([True, False], rules=rules)
    assert out_of_service([False, True, True], rules=rules)
    assert not out_of_service([False, True, True, True], rules=rules)
