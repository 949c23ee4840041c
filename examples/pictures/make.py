"""Draw the pictures of the example patterns: `python examples/pictures/make.py [NAME]...`; needs numpy and Pillow.

The project has no camera; these are illustrations and say so in their captions. The same seed gives the same picture.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

import numpy as np
from PIL import Image, ImageCms

from render import Camera, picture
from scenes import SCENES
from strands import Strands

EXAMPLES = Path(__file__).resolve().parent.parent
SEED = 20261124
LARGEST = 400_000  # bytes of a JPEG file


def main(arguments: list[str]) -> int:
    """Draw the named pictures (a part of the file's name is enough), or all of them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("names", nargs="*", help="part of a picture's path, such as otter or legs")
    parser.add_argument("--draft", action="store_true", help="half size, one sample a pixel")
    parser.add_argument("--into", type=Path, default=EXAMPLES, help="folder, instead of examples/")
    chosen = parser.parse_args(arguments)
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    for path, scene in SCENES.items():
        if chosen.names and not any(name in path for name in chosen.names):
            continue
        strands = Strands(np.random.default_rng(SEED))
        camera = scene(strands)
        if chosen.draft:
            half = (camera.pixels[0] // 2, camera.pixels[1] // 2)
            camera = Camera(camera.centre, camera.width, camera.tilt, camera.turn, half)
        image = Image.fromarray(picture(strands, camera, SEED, 1 if chosen.draft else 2))
        target = chosen.into / path
        target.parent.mkdir(parents=True, exist_ok=True)
        for quality in (88, 84, 80):
            image.save(target, quality=quality, subsampling=0, optimize=True, icc_profile=profile)
            if target.stat().st_size < LARGEST:
                break
        size = target.stat().st_size // 1000
        sys.stdout.write(f"{target} {image.width} x {image.height}, quality {quality}, {size} kB\n")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
