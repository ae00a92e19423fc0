"""Hidden sites: drawn from the prior, welded by the model that reads real strips."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from lapwright.errors import OutOfRange
from lapwright.job.hiddensite import HiddenSite, Setting, Weather, hidden_site, weld_there
from lapwright.physics.heat import REFERENCE_KAPPA, REFERENCE_SHEET, REFERENCE_SPEED
from lapwright.window.belief import bond_likelihood, heat_likelihood
from lapwright.window.prior import FAMILIES, STEP, WIDE
from lapwright.window.strips import Strip

CALM = Weather(REFERENCE_SHEET - 5, REFERENCE_SHEET, "sun", "calm")
SITE = HiddenSite(
    membrane="tpo",
    bottom=640.0,
    top=800.0,
    spread_bottom=20.0,
    spread_top=25.0,
    shared=0.4,
    partial=4 * STEP,
    kappa=REFERENCE_KAPPA,
    max_air=880.0,
    early=CALM,
    late=replace(CALM, sheet=REFERENCE_SHEET - 10, sun="cloud"),
    turns_after=2,
)


def test_at_the_reference_the_heat_is_the_air() -> None:
    """At 85 F sheet, 10 ft/min and no wind the equivalent air is the air set."""
    assert SITE.heat(Setting(700.0, REFERENCE_SPEED), CALM) == pytest.approx(700.0)


def test_air_for_is_the_way_back() -> None:
    """Air to set for a heat gives that heat again, in wind and cold too."""
    windy = Weather(285.0, 283.0, "cloud", "breezy")
    air = SITE.air_for(720.0, speed=0.06, weather=windy)
    assert SITE.heat(Setting(air, 0.06), windy) == pytest.approx(720.0)


def test_wind_cold_and_speed_cool_the_lap() -> None:
    """Each of the three alone takes heat away; none gives any."""
    here = SITE.heat(Setting(700.0, 0.05), CALM)
    assert SITE.heat(Setting(700.0, 0.05), replace(CALM, wind="breezy")) < here
    assert SITE.heat(Setting(700.0, 0.05), replace(CALM, sheet=CALM.sheet - 10)) < here
    assert SITE.heat(Setting(700.0, 0.06), CALM) < here


def test_a_machine_reaches_no_more_than_it_reaches() -> None:
    """Set hotter than the limit, the lap meets the limit."""
    assert SITE.heat(Setting(950.0, 0.05), CALM) == SITE.heat(Setting(880.0, 0.05), CALM)


@pytest.mark.parametrize("heat", [600.0, 640.0, 670.0, 720.0, 790.0, 850.0])
def test_the_share_of_sound_strips_is_the_models(heat: float) -> None:
    """Full and without sign, read without mistake: the product of the window's own chances."""
    setting = Setting(heat, REFERENCE_SPEED)
    bond = bond_likelihood(
        [(0, 0, 1)], start=heat - SITE.bottom, n=1,
        nuisances=_exact(SITE.spread_bottom, misread=0.0),
    )  # fmt: skip
    clear = heat_likelihood(
        [(1, 0)], start=heat - SITE.top, n=1, nuisances=_exact(SITE.spread_top, misread=0.0)
    )
    share = SITE.sound_share(setting, CALM)
    assert share == pytest.approx(bond.item() * clear.item(), abs=1e-9)


def _exact(spread: float, *, misread: float) -> object:
    return replace(
        WIDE,
        sigma=np.array([spread]),
        rho=np.array([SITE.shared]),
        partial_steps=(4,),
        misread=misread,
        blunder=0.0,
        sigma_weight=np.array([1.0]),
        rho_weight=np.array([1.0]),
    )


@pytest.mark.parametrize("heat", [605.0, 645.0, 800.0])
def test_strips_come_as_often_as_the_window_expects(heat: float) -> None:
    """Grades and signs of 3,000 welds against the likelihood of one strip, misreading included."""
    rng = np.random.default_rng(7)
    count = 3000
    strips = [
        strip
        for _ in range(count)
        for strip in weld_there(SITE, Setting(heat, REFERENCE_SPEED), weather=CALM, rng=rng)
    ]
    outcomes = [(1, 0, 0), (0, 1, 0), (0, 0, 1)]
    bond = _exact(SITE.spread_bottom, misread=WIDE.misread)
    expected = bond_likelihood(outcomes, start=heat - SITE.bottom, n=1, nuisances=bond).ravel()
    pulls = [strip.pull for strip in strips]
    # strips of one weld go together: their share spreads at most sqrt(3) times a lone strip's
    most = 4 * np.sqrt(3) * 0.5 / np.sqrt(len(strips))
    for pull, share in zip(("cold", "partial", "full"), expected, strict=True):
        assert pulls.count(pull) / len(strips) == pytest.approx(share, abs=most)
    heats = _exact(SITE.spread_top, misread=WIDE.misread)
    (signs,) = heat_likelihood([(0, 1)], start=heat - SITE.top, n=1, nuisances=heats).ravel()
    seen = sum(strip.overheat == "signs" for strip in strips) / len(strips)
    assert seen == pytest.approx(signs, abs=most)


def test_strips_of_one_weld_share_their_luck() -> None:
    """At the bottom, where each strip alone is a coin toss, three alike come more than 1 in 4."""
    rng = np.random.default_rng(8)
    welds = [
        weld_there(SITE, Setting(SITE.bottom, REFERENCE_SPEED), weather=CALM, rng=rng)
        for _ in range(800)
    ]
    alike = sum(len({strip.pull == "full" for strip in weld}) == 1 for weld in welds) / len(welds)
    assert alike > 0.33


def pulled(site: HiddenSite, heat: float, *, welds: int) -> list[Strip]:
    """All strips of many welds at one heat."""
    rng = np.random.default_rng(9)
    setting = Setting(heat, REFERENCE_SPEED)
    return [
        strip for _ in range(welds) for strip in weld_there(site, setting, weather=CALM, rng=rng)
    ]


def test_bond_and_burn_have_luck_of_their_own() -> None:
    """Where both are a coin toss, full and without sign come together as often as by chance."""
    strips = pulled(replace(SITE, top=SITE.bottom), SITE.bottom, welds=2000)
    full = np.array([strip.pull == "full" for strip in strips])
    clear = np.array([strip.overheat == "none" for strip in strips])
    assert (full & clear).mean() == pytest.approx(full.mean() * clear.mean(), abs=0.04)


def test_a_misread_partial_goes_either_way() -> None:
    """Deep in the partial zone half of the misread strips are called cold, half full."""
    deep = replace(SITE, partial=300.0, spread_bottom=5.0)
    pulls = [strip.pull for strip in pulled(deep, SITE.bottom - 150, welds=4000)]
    for wrong in ("cold", "full"):
        # 12,000 strips, each misread by itself: four standard deviations are 0.0045
        assert pulls.count(wrong) / len(pulls) == pytest.approx(WIDE.misread / 2, abs=0.0045)


def test_the_weather_turns_after_its_welds() -> None:
    """The second weld still meets the first weather, the third the other."""
    assert [SITE.has_turned(welds) for welds in range(4)] == [False, False, True, True]
    assert SITE.weather(2).sun == "cloud"


def test_a_window_needs_room_and_reach() -> None:
    """None where the limits cross, none where the machine does not get there."""
    assert SITE.has_window(REFERENCE_SPEED, CALM)
    assert not replace(SITE, top=SITE.bottom + 40).has_window(REFERENCE_SPEED, CALM)
    assert not replace(SITE, max_air=650.0).has_window(REFERENCE_SPEED, CALM)
    assert SITE.is_sound(Setting(700.0, REFERENCE_SPEED), CALM)
    assert not SITE.is_sound(Setting(645.0, REFERENCE_SPEED), CALM)
    assert not SITE.is_sound(Setting(795.0, REFERENCE_SPEED), CALM)


def test_signs_grow_with_the_heat() -> None:
    """From bare scrim just past the top to scorch far beyond it."""
    signs = [SITE.sign_at(SITE.top + SITE.spread_top * over) for over in (-1, 0.5, 1.5, 2.5, 4)]
    assert signs == ["bare_scrim", "grey_core", "glaze", "bubbles", "scorch"]


def test_sites_are_drawn_from_the_prior() -> None:
    """Half of 600 TPO bottoms lie below the family's centre, and sites differ in membrane."""
    sites = [hidden_site(np.random.default_rng([seed, 0])) for seed in range(600)]
    bottoms = np.array([site.bottom for site in sites if site.membrane == "tpo"])
    assert abs((bottoms < FAMILIES["tpo"].bottom).mean() - 0.5) < 4 * 0.5 / np.sqrt(len(bottoms))
    assert {site.membrane for site in sites} == {"tpo", "pvc", "kee"}
    assert 0.3 < np.mean([site.early != site.late for site in sites]) < 0.6
    assert all(site.top > site.bottom for site in sites)


def test_no_machine_is_set_so() -> None:
    """Zero, negative and molten settings are refused by name."""
    for name, setting in (("air", (0.0, 0.05)), ("air", (1500.0, 0.05)), ("speed", (700.0, 0.0))):
        with pytest.raises(OutOfRange) as caught:
            Setting(*setting)
        assert caught.value.data["name"] == name
