"""One picture of every tooth type and every treatment the synthetic films know.

Run: python -m tests.experiments.contact_sheet [OUT.png]   (docs/contact-sheet.png)
"""

import sys

import numpy as np
from PIL import Image, ImageDraw

from radmeasure.model.tooth import Tooth
from radmeasure.workflow.synthesise import synthesise

_TILE, _LABEL, _COLUMNS, _GREYS = (280, 280), 18, 8, 48
_PITCH_UM = 75
_TREATED = {
    "21 file": {"tooth": "21", "file": {"short_mm": 1.0}},
    "12 filling, voids": {"tooth": "12", "filling": {"short_mm": 2.5, "voids": 4}},
    "13 metal post, core": {"tooth": "13", "filling": {}, "post": {"gap_mm": 0.8}},
    "44 fibre post": {"tooth": "44", "filling": {}, "post": {"depth_mm": 7, "kind": "fibre"}},
    "46 lesion": {"tooth": "46", "lesion": {"diameter_mm": 5, "root": "distal"}},
    "25 caries": {"tooth": "25", "caries": {"depth_mm": 2.5, "side": "mesial"}},
    "35 crown lost": {"tooth": "35", "crown": {"state": "lost", "margin_mm": {"mesial": 2.5}}},
    "11 foramen aside": {"tooth": "11", "roots": {"single": {"foramen_mm": 0.8, "curve_deg": 0}}},
}


def recipes():
    """Label and recipe of every picture: the upper teeth, the lower ones, treatments."""
    found = {f"{q}{p}": {"tooth": f"{q}{p}"} for q in "14" for p in "12345678"}
    found = {f"{k} {Tooth(k).name.split(' ', 1)[1]}": v for k, v in found.items()}
    return found | _TREATED


def tile(label, table):
    """A labelled picture, its brightness that of the film."""
    recipe = {"seed": 3, "receptor": {"pitch_um": _PITCH_UM}} | table
    pixels, _, _ = synthesise(recipe)
    grey = Image.fromarray((pixels.astype(float) / 4095 * 255).astype(np.uint8))
    grey.thumbnail(_TILE, Image.Resampling.LANCZOS)
    made = Image.new("L", (_TILE[0], _TILE[1] + _LABEL), 255)
    made.paste(grey, ((_TILE[0] - grey.width) // 2, _LABEL + (_TILE[1] - grey.height) // 2))
    ImageDraw.Draw(made).text((6, 3), label, fill=0)
    return made


def main():
    tiles = [tile(label, table) for label, table in recipes().items()]
    wide, high = tiles[0].size
    sheet = Image.new("L", (wide * _COLUMNS, high * -(-len(tiles) // _COLUMNS)), 255)
    for i, one in enumerate(tiles):
        sheet.paste(one, (i % _COLUMNS * wide, i // _COLUMNS * high))
    out = sys.argv[1] if len(sys.argv) > 1 else "docs/contact-sheet.png"
    sheet.quantize(_GREYS, dither=Image.Dither.NONE).save(out, optimize=True)
    print(out, f"{len(tiles)} films")


if __name__ == "__main__":
    main()
