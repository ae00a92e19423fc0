"""Facts about who and what: the job, people, machines, power, sheet, rules.

A change is a new fact; the latest one counts from its moment on. Fields follow the trade's
test-weld and daily forms; what is a default of ours is so marked in the reference pages.
"""

from __future__ import annotations

from lapwright.record.kinds import Field, Kind, flag, measure, ref, text, word

TASKS = ("weld_field", "weld_detail", "probe", "grade", "sign")
MEMBRANES = ("tpo", "pvc", "kee")

SETUP: tuple[Kind, ...] = (
    Kind(
        "job",
        (
            text("name", "must"),
            text("place"),
            measure("latitude", "may", "degree"),
            measure("longitude", "may", "degree"),
            word("attachment", "may", "fastened", "adhered", "ballasted"),
            flag("invented"),  # an example or a practice job, said on every page of it
        ),
    ),
    Kind(
        "person",
        (
            text("name", "must"),  # or initials
            word("language", "must", "en", "es"),
            word("units", "must", "us", "metric"),
            Field("tasks", "words", "must", TASKS),
            text("certificate"),
            Field("certificate_until", "date"),
        ),
    ),
    Kind(
        "machine",
        (
            text("number", "must"),  # painted on it; every gun has one too
            word("type", "must", "automatic", "hand"),
            word("drive", "must", "ft_min", "m_min", "dial"),
            measure("rated_volts", "day", "volts"),
            measure("rated_power", "day", "power"),
            measure("coolest_air", "may", "temperature"),
            measure("hottest_air", "may", "temperature"),
            measure("roller_width", "may", "width"),
            measure("load", "may", "force"),
            Field("calibrated", "date"),
        ),
    ),
    Kind(
        "nozzle_setup",
        (
            ref("machine", "must", "machine"),
            measure("nozzle_width", "asked", "width"),
            flag("nozzle_clean", "asked"),
            flag("aligned", "asked"),
            flag("screen_clean", "asked"),
            flag("roller_clean", "day"),
            measure("air_flow", "day", "flow"),
            measure("weights", "may", "force"),
        ),
    ),
    Kind(
        "power_setup",
        (
            text("source", "must"),  # number of the generator, or house
            flag("dedicated", "asked"),
            text("gauge", "asked"),  # as printed on the cord: "10 AWG", "2.5 mm2"
            measure("cord_length", "asked", "length"),
            measure("rated_power", "day", "power"),
            measure("volts_open", "day", "volts"),
            measure("volts", "day", "volts"),  # at the machine under load
            text("other_loads"),
            measure("altitude", "may", "length"),
        ),
    ),
    Kind(
        "lot",
        (
            word("membrane", "must", *MEMBRANES),
            measure("thickness", "must", "thickness"),
            text("colour", "must"),
            word("backing", "must", "reinforced", "fleece", "unreinforced"),
            text("number", "day"),  # roll or production run
            Field("made", "date"),
            word("stored", "day", "indoors", "covered", "open"),
        ),
    ),
    Kind(
        "pairing",
        (
            ref("upper", "must", "lot"),
            ref("lower", "must", "lot"),
            flag("aged", "asked"),
            Field("aged_years", "count"),
            text("cleaned_with"),
        ),
    ),
    Kind(
        "rules",
        (
            text("edition", "must"),
            Field("clauses", "json", "must"),
        ),
    ),
    Kind(
        "past_days",  # what they let expect of a morning; learnt once, so that it can be replayed
        (
            ref("machine", "must", "machine"),
            ref("pairing", "must", "pairing"),
            ref("nozzle_setup", "asked", "nozzle_setup"),
            Field("counts_from", "date", "must"),  # days before it were learnt from
            Field("days", "count", "must"),
            Field("expects", "json", "must"),  # bottom and width in kelvin
            text("model", "must"),
        ),
    ),
    Kind(
        "plan",
        (
            text("area", "must"),  # letter of the roof area
            text("level"),  # as the drawing calls it; areas of two levels may lie over each other
            Field("outline", "json", "must"),
            Field("openings", "json"),
            Field("seams", "json", "must"),
        ),
    ),
)
