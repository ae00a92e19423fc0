"""What is the same on the roof is one, however often it was recorded."""

from __future__ import annotations

from tests import cast

from lapwright.proof.chains import Chain, Chains


def test_a_set_up_recorded_anew_is_the_same_chain() -> None:
    """The same number, cord and sheets on the next morning make no new chain."""
    machine = cast.fact("machine", at="06:40", day="2026-05-05", number="3", load="60 lbf")
    power = cast.fact("power_setup", at="06:45", day="2026-05-05", volts="221 v measured")
    lot = cast.fact("lot", at="06:46", day="2026-05-05", number="L-9")
    pairing = cast.fact("pairing", at="06:47", day="2026-05-05", upper=lot, lower=lot)
    first = cast.ran("A-S001", "0 ft", "10 ft")[0]
    again = cast.ran(
        "A-S001", "10 ft", "20 ft", machine=machine, power_setup=power, pairing=pairing
    )[0]
    chains = Chains(cast.record(cast.SETUP, machine, power, lot, pairing, first, again))
    assert chains.of(first) == chains.of(again)
    assert chains.latest(cast.MACHINE.id) == machine


def test_any_part_that_differs_makes_another_chain() -> None:
    """Machine, operator, cord and sheet each make a chain of their own."""
    others = (
        {"machine": cast.OTHER_MACHINE},
        {"operator": cast.INES},
        {"power_setup": cast.OTHER_POWER},
        {"pairing": cast.OTHER_PAIRING},
        {"pairing": None},
    )
    runs = [cast.ran("A-S001", "0 ft", "10 ft", **other)[0] for other in ({}, *others)]
    chains = Chains(cast.record(cast.SETUP, runs))
    assert len({chains.of(run) for run in runs}) == len(runs)


def test_two_people_of_one_name_are_two() -> None:
    """A chain never merges two persons: that would lend one the other's test weld."""
    other_tom = cast.fact("person", at="06:31", name="Tom", tasks=[])
    runs = [cast.ran("A-S001", "0 ft", "9 ft", operator=who)[0] for who in (cast.TOM, other_tom)]
    chains = Chains(cast.record(cast.SETUP, other_tom, runs))
    assert chains.of(runs[0]) != chains.of(runs[1])


def test_the_order_of_arrival_names_the_chain_alike() -> None:
    """A chain is named by the facts, not by the order in which they came."""
    again = cast.fact("machine", at="09:00", number="3")
    facts = [*cast.SETUP, again, *cast.ran("A-S001", "0 ft", "10 ft", machine=again)]
    run = facts[-2]
    assert Chains(cast.record(facts)).of(run) == Chains(cast.record(facts[::-1])).of(run)


def test_what_is_not_known_tells_nothing_apart() -> None:
    """An unknown cord may be the known one, another operator may not."""
    known = Chain("3", "tom", "cord", "sheets")
    assert known.may_be(Chain("3", "tom", None, "sheets"))
    assert not known.may_be(Chain("3", "tom", "other cord", None))
    assert not known.may_be(Chain("3", "ines", None, None))


def test_a_reference_that_has_not_arrived_stands_for_itself() -> None:
    """A run may arrive before its machine; its chain is then named by the id alone."""
    run = cast.ran("A-S001", "0 ft", "10 ft")[0]
    assert Chains(cast.record(run)).of(run).machine == cast.MACHINE.id
