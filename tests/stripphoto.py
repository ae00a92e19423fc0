"""Photos of pulled strips on the scale card, rendered: the true band is known.

A camera with a lens looks at two planes: the card as our own program prints it, and above
it, by its thickness, the strip. Then come shadow, blur, noise and JPEG. How a torn scrim
looks is our own picture of it, from descriptions in trade texts; no photo of a real strip
was at hand.
"""

from __future__ import annotations

import io
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import cv2
import numpy as np
import vl_convert
from PIL import Image

from lapwright.job.scalecard import BAY_BOTTOM, BAY_TOP, HEIGHT, WIDTH
from lapwright.report.figures import Reader
from lapwright.report.scalecard import scale_card_svg

Picture = np.ndarray[Any, np.dtype[Any]]

FINE = 16.0  # dots in a mm of the drawn card and strip
PAGE = (215.9, 279.4)  # mm, letter
CORNER = ((PAGE[0] - 1000 * WIDTH) / 2, 18.0)  # mm, of the card on the page
SHEETS = {  # film, thread, what lies below the thread; brightness 0 to 1
    "white on grey": ((0.86, 0.86, 0.85), (0.93, 0.93, 0.92), (0.45, 0.46, 0.48)),
    "white on white": ((0.84, 0.84, 0.83), (0.93, 0.93, 0.92), (0.74, 0.74, 0.73)),
    "grey": ((0.55, 0.56, 0.58), (0.80, 0.80, 0.79), (0.42, 0.43, 0.45)),
    "tan": ((0.76, 0.68, 0.55), (0.90, 0.87, 0.80), (0.58, 0.50, 0.38)),
    "black core": ((0.20, 0.20, 0.21), (0.75, 0.75, 0.74), (0.10, 0.10, 0.11)),
}


@dataclass(frozen=True)
class Shot:
    """One photo: the strip, the light and the camera. Lengths in mm.

    Parameters
    ----------
    band : float
        Mean length of bare scrim along the strip; 0 for a cold strip.
    kind : str
        ``full``, ``stripes`` (film left across, 4 to 6 mm), ``one_edge`` (half the strip's
        width stays shut).
    pitch : tuple of float
        From thread to thread, along and across.
    ragged : float
        Spread of the torn edges.
    telling : float
        How much brighter, as a share, the film is above a thread.
    tilt, turn : float
        Camera from straight above, and round the card; degrees.
    fill : float
        Share of the picture's width that the card takes.
    print_scale : float
        1 when the card is printed true to size.
    bend : float
        Sag of the card in the middle.
    """

    band: float = 40.0
    kind: str = "full"
    sheet: str = "white on grey"
    width: float = 25.4
    length: float = 150.0
    thick: float = 1.2
    skew: float = 2.0
    pitch: tuple[float, float] = (2.5, 2.5)
    ragged: float = 0.5
    telling: float = 0.05
    ink: bool = False
    tilt: float = 12.0
    turn: float = 30.0
    roll: float = 0.0
    fill: float = 0.75
    pixels: tuple[int, int] = (4000, 3000)
    lens: float = 0.0
    blur: float = 0.8  # px of the picture
    noise: float = 0.01
    shadow: float = 0.3
    light: float = 1.0
    quality: int = 88
    print_scale: float = 1.0
    bend: float = 0.0
    cover: int = 0  # markers under a thumb
    cards: int = 1
    glare: float = 0.0
    seed: int = 1


@dataclass(frozen=True)
class Truth:
    """What was drawn. [mm]"""

    smallest: float
    median: float
    runs: Picture  # longest unbroken bare scrim at every dot across the strip


@cache
def printed_card() -> Picture:
    """The page as printed, grey 0 to 1."""
    svg = scale_card_svg(Reader(), number="7")
    png = vl_convert.svg_to_png(svg, scale=FINE / (96 / 25.4))
    return np.asarray(Image.open(io.BytesIO(png)).convert("L"), np.float32) / 255


def _noise(rng: np.random.Generator, shape: tuple[int, ...], grain: float) -> Picture:
    """Smooth chance of unit spread; grain in dots."""
    small = tuple(max(2, int(side / grain) + 2) for side in shape)
    made = rng.standard_normal(small).astype(np.float32)
    if len(shape) == 1:
        at = np.linspace(0, small[0] - 1, shape[0])
        return np.interp(at, np.arange(small[0]), made).astype(np.float32)
    return cv2.resize(made, shape[::-1], interpolation=cv2.INTER_CUBIC)


def _threads(shot: Shot, rng: np.random.Generator, shape: tuple[int, int]) -> Picture:
    """Height of the weave, 0 between threads, 1 on them; each thread a little its own way."""
    found = np.zeros(shape, np.float32)
    rows, columns = shape
    for axis, pitch in enumerate(shot.pitch):
        across, along = (columns, rows) if axis == 0 else (rows, columns)
        half = pitch * rng.uniform(0.18, 0.28) * FINE
        at = rng.uniform(0, pitch * FINE)
        grid = np.arange(across, dtype=np.float32)
        layer = np.zeros((along, across), np.float32)
        while at < across:
            path = at + 0.06 * pitch * FINE * _noise(rng, (along,), 12 * FINE)
            bright = 1 + 0.12 * _noise(rng, (along,), 3 * FINE) + 0.08 * rng.standard_normal()
            low, high = max(0, int(at - 3 * half)), min(across, int(at + 3 * half))
            far = (grid[None, low:high] - path[:, None]) / half
            layer[:, low:high] = np.maximum(layer[:, low:high], bright[:, None] * np.exp(-(far**4)))
            at += pitch * FINE * (1 + 0.04 * rng.standard_normal())
        found = np.maximum(found, layer if axis == 0 else layer.T)
    return found


def strip(shot: Shot) -> tuple[Picture, Truth]:
    """The strip lying along x, brightness 0 to 1, and what is true of its band."""
    rng = np.random.default_rng([shot.seed, 11])
    shape = (round(shot.width * FINE), round(shot.length * FINE))
    film, thread, below = (np.array(each, np.float32) for each in SHEETS[shot.sheet])
    weave = _threads(shot, rng, shape)
    x = np.arange(shape[1], dtype=np.float32)[None, :] / FINE
    y = np.arange(shape[0])
    middle = shot.length / 2 + rng.uniform(-8, 8)
    slope = rng.uniform(-0.03, 0.03) * (y / FINE - shot.width / 2)
    ends = [
        middle + side * shot.band / 2 + slope * side
        + shot.ragged * (0.8 * _noise(rng, (shape[0],), 8 * FINE)
                         + 0.5 * _noise(rng, (shape[0],), 1.2 * FINE))
        for side in (-1, 1)
    ]  # fmt: skip
    bare = (x > ends[0][:, None]) & (x < ends[1][:, None]) & (shot.band > 0)
    runs = np.maximum(ends[1] - ends[0], 0) if shot.band else np.zeros(shape[0])
    if shot.kind == "stripes":
        gap = rng.uniform(4, 6)
        at = middle + rng.uniform(-0.1, 0.1) * shot.band
        bare &= np.abs(x - at) > gap / 2
        runs = np.maximum(at - gap / 2 - ends[0], ends[1] - at - gap / 2)
    if shot.kind == "one_edge":
        shut = y > shape[0] * 0.5
        bare &= ~shut[:, None]
        runs = np.where(shut, 0, runs)
    relief = 0.02 * _noise(rng, shape, 20 * FINE) + 0.006 * _noise(rng, shape, 1.5 * FINE)
    blurred = cv2.GaussianBlur(weave, (0, 0), 0.35 * FINE)
    relief += shot.telling * (blurred - 0.4)  # the weave shows through the film
    smooth = film * (1 + relief[..., None])
    rough = below + (thread - below) * np.clip(weave, 0, 1.2)[..., None]
    rough = rough * (1 + 0.03 * _noise(rng, shape, 0.3 * FINE)[..., None])
    picture = np.where(bare[..., None], rough, smooth)
    edge = cv2.morphologyEx(bare.astype(np.uint8), cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8))
    lip = cv2.GaussianBlur(edge.astype(np.float32), (0, 0), 0.12 * FINE)
    picture = picture * (1 - rng.uniform(0.0, 0.25) * np.clip(lip, 0, 1)[..., None])
    if shot.ink:
        ink = np.zeros(shape, np.uint8)
        cv2.putText(ink, "B3 850F 9", (int(6 * FINE), int(0.7 * shape[0])),
                    cv2.FONT_HERSHEY_SCRIPT_SIMPLEX, 0.35 * FINE, 255, int(0.8 * FINE))  # fmt: skip
        picture[ink > 0] = (0.15, 0.15, 0.3)
    inner = runs[int(2 * FINE) : -int(2 * FINE)]  # cut edges fray; nobody measures there
    return picture.astype(np.float32), Truth(float(inner.min()), float(np.median(inner)), runs)


def _look(shot: Shot) -> tuple[Picture, Picture, Picture]:
    """Camera matrix, turn and place: millimetres of the card to its eye."""
    wide, high = shot.pixels
    focal = 0.8 * wide
    lens = np.array([[focal, 0, wide / 2], [0, focal, high / 2], [0, 0, 1]])
    away = focal * 1000 * WIDTH / (shot.fill * wide)
    tilt, turn, roll = np.radians([shot.tilt, shot.turn, shot.roll])
    axis = np.array([np.cos(turn), np.sin(turn), 0]) * tilt
    rotation = cv2.Rodrigues(np.array([0, 0, roll]))[0] @ cv2.Rodrigues(axis)[0]
    middle = np.array([500 * WIDTH, 500 * HEIGHT, 0.0])
    return lens, rotation, np.array([0, 0, away]) - rotation @ middle


def camera(shot: Shot, above: float = 0.0) -> Picture:
    """Millimetres on a plane over the card to the picture, before the lens bends anything."""
    lens, rotation, place = _look(shot)
    # z points away from the camera, so what lies above has a negative z
    own = np.column_stack([rotation[:, 0], rotation[:, 1], place - above * rotation[:, 2]])
    found: Picture = lens @ own
    return found


def render(shot: Shot) -> Picture:
    """The photo, RGB, before JPEG."""
    rng = np.random.default_rng([shot.seed, 13])
    size = shot.pixels
    page = printed_card()
    dot = np.array([[1 / FINE, 0, -CORNER[0]], [0, 1 / FINE, -CORNER[1]], [0, 0, 1]])
    scale = np.diag([shot.print_scale, shot.print_scale, 1.0])
    table = np.full((size[1], size[0], 3), (0.30, 0.24, 0.18), np.float32)
    table *= 1 + 0.1 * _noise(rng, (size[1], size[0]), 40)[..., None]
    scene = table
    for n in range(shot.cards):
        moved = np.array([[1, 0, 0], [0, 1, n * 135.0], [0, 0, 1]])
        scene = _lay(scene, _bent(np.repeat(_thumbed(page, shot)[..., None], 3, 2), shot),
                     camera(shot) @ moved @ scale @ dot, size)  # fmt: skip
    if shot.length:
        own, _ = strip(shot)
        middle = np.array([500 * WIDTH, 500 * (BAY_TOP + BAY_BOTTOM)])
        c, s = np.cos(np.radians(shot.skew)), np.sin(np.radians(shot.skew))
        turn = np.array([[c, -s, middle[0]], [s, c, middle[1]], [0, 0, 1]])
        back = np.array([[1 / FINE, 0, -shot.length / 2], [0, 1 / FINE, -shot.width / 2],
                         [0, 0, 1]])  # fmt: skip
        scene = _lay(scene, own, camera(shot, shot.thick) @ turn @ back, size)
    return _photographed(scene, shot, rng)


def _thumbed(page: Picture, shot: Shot) -> Picture:
    if not shot.cover:
        return page
    page = page.copy()
    for n in range(shot.cover):
        x, y = ((4, 4), (58, 102), (112, 4), (166, 102), (58, 4))[n]
        at = (round((CORNER[0] + x + 8) * FINE), round((CORNER[1] + y + 8) * FINE))
        cv2.circle(page, at, round(9 * FINE), 0.55, -1)
    return page


def _bent(page: Picture, shot: Shot) -> Picture:
    """As seen from the side, a bent card moves its middle: a stretch that no plane has."""
    if not shot.bend:
        return page
    rows, columns = page.shape[:2]
    x = np.arange(columns, dtype=np.float32)
    along = (x / FINE - CORNER[0]) / (1000 * WIDTH)
    shift = shot.bend * np.sin(np.pi * np.clip(along, 0, 1)) * np.tan(np.radians(shot.tilt)) * FINE
    grid_x = np.repeat(x[None], rows, 0)
    grid_y = np.arange(rows, dtype=np.float32)[:, None] + np.repeat(shift[None], rows, 0)
    return cv2.remap(page, grid_x, grid_y.astype(np.float32), cv2.INTER_LINEAR,
                     borderMode=cv2.BORDER_REPLICATE)  # fmt: skip


def _lay(scene: Picture, picture: Picture, to: Picture, size: tuple[int, int]) -> Picture:
    """A picture over the scene, its edges soft by a pixel."""
    rows, columns = picture.shape[:2]
    middle = to @ [columns / 2, rows / 2, 1]
    aside = to @ [columns / 2 + 16, rows / 2, 1]
    shrink = 16 / max(1e-6, np.linalg.norm(aside[:2] / aside[2] - middle[:2] / middle[2]))
    if shrink > 1.2:
        picture = cv2.GaussianBlur(picture, (0, 0), 0.4 * shrink)
    cover = np.ones((rows, columns), np.float32)
    seen = cv2.warpPerspective(picture, to, size, flags=cv2.INTER_LINEAR)
    mask = cv2.warpPerspective(cover, to, size, flags=cv2.INTER_LINEAR)[..., None]
    return seen * mask + scene * (1 - mask)


def _photographed(scene: Picture, shot: Shot, rng: np.random.Generator) -> Picture:
    """Shadow, lens, blur, noise."""
    wide, high = shot.pixels
    y, x = np.mgrid[0:high, 0:wide].astype(np.float32)
    u, v = (x - wide / 2) / (wide / 2), (y - high / 2) / (wide / 2)
    if shot.shadow:
        way = rng.uniform(0, 2 * np.pi)
        slide = np.cos(way) * u + np.sin(way) * v
        soft = 1 / (1 + np.exp(-(slide - rng.uniform(-0.2, 0.2)) / rng.uniform(0.01, 0.2)))
        scene = (
            scene * (1 - shot.shadow * soft[..., None]) * (1 + 0.15 * shot.shadow * u[..., None])
        )
    if shot.glare:
        spot = np.exp(-((u**2 + v**2) / 0.05))
        scene = scene + shot.glare * spot[..., None]
    if shot.lens:
        far = 1 + shot.lens * (u**2 + v**2)
        scene = cv2.remap(scene, wide / 2 + (x - wide / 2) * far, high / 2 + (y - high / 2) * far,
                          cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)  # fmt: skip
    if shot.blur:
        scene = cv2.GaussianBlur(scene, (0, 0), shot.blur)
    scene = scene * shot.light
    scene = scene + shot.noise * np.sqrt(np.clip(scene, 0.02, 1)) * rng.standard_normal(
        scene.shape, np.float32
    )
    return (255 * np.clip(scene, 0, 1) + 0.5).astype(np.uint8)


def photo(shot: Shot, **saving: Any) -> bytes:
    """The photo as a JPEG file."""
    file = io.BytesIO()
    Image.fromarray(render(shot)).save(file, "JPEG", quality=shot.quality, **saving)
    return file.getvalue()


def drawn(seed: int, **fixed: Any) -> Shot:
    """A photo of chance: any sheet, camera and light within what the page promises."""
    rng = np.random.default_rng([seed, 7])
    pitch = rng.uniform(1.4, 3.2)
    small = rng.random() < 0.5
    made = Shot(
        band=float(rng.uniform(15, 55)),
        sheet=str(rng.choice(list(SHEETS))),
        width=float(rng.choice([25.4, 25.0, 38.0, 50.0])),
        length=float(rng.uniform(110, 175)),
        thick=float(rng.uniform(0.8, 2.0)),
        skew=float(rng.uniform(-6, 6)),
        pitch=(float(pitch), float(pitch * rng.uniform(0.8, 1.25))),
        ragged=float(rng.uniform(0.1, 1.0)),
        tilt=float(rng.uniform(0, 35)),
        turn=float(rng.uniform(0, 360)),
        roll=float(rng.choice([0, 90, 180, 270]) + rng.uniform(-8, 8)),
        fill=float(rng.uniform(0.6, 0.9)),
        pixels=(1632, 1224) if small else (4000, 3000),
        lens=float(rng.uniform(-0.02, 0.04)),
        blur=float(rng.uniform(0.5, 1.0 if small else 2.5)),
        noise=float(rng.uniform(0.003, 0.02)),
        shadow=float(rng.uniform(0, 0.5)),
        light=float(rng.uniform(0.7, 1.0)),
        quality=int(rng.integers(75, 95)),
        print_scale=float(1 + rng.uniform(-0.004, 0.004)),
        cover=int(rng.choice([0, 0, 0, 1, 2])),
        seed=seed,
    )
    if made.roll % 180 > 45 and made.roll % 180 < 135:  # the card stands: it must still fit
        made = replace(made, fill=min(made.fill, 0.68))
    return replace(made, **fixed)
