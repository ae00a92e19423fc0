"""Facts about the work: conditions, test welds, decisions, runs, probing, repair, sign-off."""

from __future__ import annotations

from lapwright.record.kinds import Field, Kind, flag, measure, ref, text, word

PULLS = ("cold", "partial", "full", "skin", "break", "split", "invalid")
SIGNS = ("smoke", "scorch", "glaze", "bubbles", "thinned", "scrim_print", "brittle")
DEFECTS = (
    # field seam
    "edge_void", "inner_void", "skip", "narrow_band", "cold_weld", "false_weld", "scorch",
    "thinned_edge", "blister", "dirt", "moisture", "wrinkle", "fishmouth", "short_lap",
    "off_track", "tension", "welder_drag", "edge_curl", "bad_start", "roller_mark",
    # T-joint and detail
    "water_channel", "step_void", "patch_missing", "patch_void", "corner_overheated",
    "crease_crack", "termination_open",
    # repair
    "patch_small", "patch_not_clean",
    # sheet
    "cut_in_sheet", "puncture", "scratch", "unsealed_edge", "factory_splice", "bad_lot",
    "aged_sheet",
)  # fmt: skip
STOP_REASONS = ("seam_end", "fuel", "cord", "track", "weather", "lunch", "fault", "other")
PURPOSES = ("start", "search", "confirm", "trigger", "repeat", "detail")
REASONS = (
    "mistyped", "wrong_place", "wrong_person", "wrong_time", "wrong_kind", "twice", "looked_again",
)  # fmt: skip

_CHAIN = (
    ref("machine", "must", "machine"),
    ref("operator", "must", "person"),
    ref("power_setup", "asked", "power_setup"),
    ref("pairing", "asked", "pairing"),
)

WORK: tuple[Kind, ...] = (
    Kind(
        "conditions",
        (
            measure("ambient", "must", "temperature"),
            measure("sheet", "asked", "temperature"),
            measure("humidity", "asked", "share"),
            word("wind", "asked", "calm", "light", "breezy", "strong"),
            word("sun", "asked", "sun", "cloud", "shade"),
            word("substrate", "asked", "foam", "board", "concrete", "old_roof"),
            flag("dry", "asked"),
            flag("clean", "asked"),
            measure("exposure", "may", "time"),
        ),
    ),
    Kind(
        "test_weld",
        (
            text("number", "must"),  # as written on the sheet
            *_CHAIN,
            ref("nozzle_setup", "asked", "nozzle_setup"),
            ref("conditions", "must", "conditions"),
            measure("air", "must", "temperature"),
            measure("speed", "must", "speed"),
            measure("measured_air", "may", "temperature"),
            measure("measured_speed", "may", "speed"),
            measure("volts", "may", "volts"),
            measure("load", "day", "force"),
            measure("length", "may", "length"),
            word("place", "may", "scrap", "roof"),
            word("purpose", "may", *PURPOSES),
        ),
    ),
    Kind(
        "hot_look",  # before the weld is cold: the only evidence of the top
        (
            ref("test_weld", "must", "test_weld"),
            word("corner", "asked", "holds", "opens", "bare_scrim", "grey_core"),
            *(flag(sign, "asked") for sign in SIGNS),
        ),
    ),
    Kind(
        "strip",
        (
            ref("of", "must", "test_weld", "cut"),
            text("number", "must"),
            word("pull", "must", *PULLS),
            measure("width", "may", "width"),
            measure("cooled", "may", "time"),
            measure("band", "day", "width"),
            word("evenness", "day", "full", "stripes", "one_edge"),
            measure("force", "may", "force"),
            flag("second_look"),  # another grader, blind to the first
            text("kept_where"),
        ),
    ),
    Kind(
        "decision",
        (
            *_CHAIN,
            Field("test_welds", "refs", "must", ("test_weld",)),
            Field("question", "json", "must"),  # all that the answer depends on
            Field("answer", "json", "must"),
            word("worked_out", "must", "server", "phone"),
            text("model", "must"),
            flag("accepted", "must"),
            measure("air", "may", "temperature"),
            measure("speed", "may", "speed"),
            measure("load", "may", "force"),
            word("reason", "may", "experience", "sheet_maker", "no_time", "weather", "other"),
            Field("until", "time"),
        ),
    ),
    Kind(
        "run",
        (
            text("seam", "must"),
            measure("station", "must", "length"),  # where the machine was set down
            *_CHAIN,
            ref("decision", "asked", "decision"),  # None: nothing stands behind these feet
            measure("air", "may", "temperature"),
            measure("speed", "may", "speed"),
            measure("lap", "may", "width"),
        ),
    ),
    Kind(
        "run_end",
        (
            ref("run", "must", "run"),
            measure("station", "must", "length"),
            word("reason", "must", *STOP_REASONS),
            flag("nozzle_lifted", "asked"),
            measure("speed", "may", "speed"),
        ),
    ),
    Kind(
        "probe",
        (
            text("seam", "must"),
            measure("start", "must", "length"),
            measure("end", "must", "length"),
            ref("prober", "must", "person"),
            word("result", "must", "none", "defects"),
            flag("blunt", "day"),  # the probe's tip was filed blunt
        ),
    ),
    Kind(
        "defect",
        (
            text("number", "must"),  # as written on the sheet
            text("seam", "must"),
            measure("station", "must", "length"),
            measure("length", "asked", "length"),
            word("type", "must", *DEFECTS),
            word("found_by", "must", "probe", "eye", "cut", "leak", "inspector"),
        ),
    ),
    Kind(
        "repair",
        (
            ref("defect", "must", "defect"),
            word("method", "must", "re_weld", "patch", "cover_strip"),
            measure("size", "asked", "width"),
            ref("machine", "asked", "machine"),
            ref("operator", "must", "person"),
            ref("test_weld", "asked", "test_weld"),
        ),
    ),
    Kind(
        "reprobe",  # a defect closes here and nowhere else
        (
            ref("repair", "must", "repair"),
            ref("prober", "must", "person"),
            word("result", "must", "closed", "open"),
        ),
    ),
    Kind(
        "cut",
        (
            text("number", "must"),
            text("seam", "must"),
            measure("station", "must", "length"),
            measure("length", "asked", "length"),
            word("why", "must", "planned", "cause", "trace"),
            ref("patch", "day", "repair"),
        ),
    ),
    Kind(
        "peel_trace",
        (
            ref("strip", "must", "strip"),
            Field("file", "sha256", "must"),
            measure("rate", "must", "rate"),
            measure("width", "must", "width"),
            text("instrument", "asked"),
        ),
    ),
    Kind(
        "t_joint",
        (
            text("number", "must"),
            flag("creased", "asked"),
            flag("patched", "asked"),
            measure("patch_size", "may", "width"),
            word("result", "asked", "none", "defects"),  # of probing it
        ),
    ),
    Kind(
        "photo",
        (
            Field("file", "sha256", "must"),
            ref("of", "must"),
        ),
    ),
    Kind(
        "event",  # a trigger and what was done about it
        (
            text("trigger", "must"),
            *_CHAIN[:2],
            word("answer", "must", "happened", "put_off", "overruled"),
            word("reason", "may", "weather", "no_time", "no_machine", "checked", "other"),
            Field("until", "time"),
        ),
    ),
    Kind(
        "sign_off",
        (
            word("scope", "must", "test", "day", "area", "job"),
            word("statement", "must", "seen", "accepted", "accepted_with_open"),
            Field("open", "json", "must"),  # counts at that moment, frozen
            Field("head", "sha256", "must"),  # of the chain as the signer saw it
        ),
    ),
    Kind(
        "correction",
        (
            ref("of", "must"),
            text("field", "must"),  # or "withdrawn"
            Field("old", "json", "asked"),
            Field("new", "json", "asked"),
            word("reason", "must", *REASONS),
        ),
    ),
    Kind(
        "access",  # who joined, left, was refused or revoked; kept in the crew's own chain
        (
            word(
                "what",
                "must",
                "account_made", "password_set", "role_set", "signed_in", "sign_in_refused",
                "invited", "joined", "revoked", "signed_out",
            ),
            text("account", "must"),
            text("phone"),
            text("role"),
            text("address"),  # network address of a refused try, nothing else's
        ),
    ),
)  # fmt: skip
