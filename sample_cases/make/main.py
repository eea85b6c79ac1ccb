"""Renders the sample photos: ``python main.py [--only TEXT ...] [--draft 0.35] [--out FOLDER] [--no-photos]``.

Needs Blender as a Python module (bpy), OpenCV, Pillow and numpy; see ../README.md. What exists is skipped.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import pathlib
import sys
import tempfile
import time

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))

import cases  # noqa: E402
import derive  # noqa: E402
import truth  # noqa: E402

HAIRS = 52000
RENDERED_SHARE = 0.85  # pixels along a side that are rendered for each pixel of the photo


@contextlib.contextmanager
def _quiet(log: pathlib.Path):
    """The renderer writes to file descriptor 1; keep it in a log."""
    sys.stdout.flush()
    keep = os.dup(1)
    with log.open("ab") as target:
        os.dup2(target.fileno(), 1)
        try:
            yield
        finally:
            sys.stdout.flush()
            os.dup2(keep, 1)
            os.close(keep)


def render(plan: cases.Plan, out: pathlib.Path, draft: float) -> None:
    """Render one photo to ``out / name.jpg``; the truth is the same at every draft size."""
    import bpy
    import build
    import cv2
    import photo

    made = cases.setup(plan)
    camera = made.camera.scaled(draft) if draft != 1.0 else made.camera
    coarse = camera.scaled(RENDERED_SHARE)
    with tempfile.TemporaryDirectory() as folder:
        file = pathlib.Path(folder) / "straight.png"
        with _quiet(pathlib.Path(tempfile.gettempdir()) / "sample-render.log"):
            build.build(plan, made, coarse, pathlib.Path(folder), int(HAIRS), file)
            bpy.ops.render.render(write_still=True)
        straight = cv2.imread(str(file), cv2.IMREAD_UNCHANGED)[..., :3]
    picture = photo.develop(straight, coarse.focal_px, camera, build.sheets(plan, made), plan.seed("grain"))
    size = (camera.height, camera.width) if plan.orientation in (6, 8) else (camera.width, camera.height)
    tags = photo.exif(plan.taken, plan.offset, camera.focal_35mm_tag, plan.orientation, size)
    target = out / f"{plan.name}.jpg"
    partial = target.with_suffix(".part")
    photo.save(picture, partial, tags, plan.orientation, 88)
    partial.replace(target)


def chosen(only: list[str]) -> list[cases.Plan]:
    plans = cases.all_plans()
    return [plan for plan in plans if not only or any(text in plan.name for text in only)]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--only", nargs="*", default=[], help="names that contain one of these")
    parser.add_argument("--draft", type=float, default=1.0, help="picture size, 1 = full")
    parser.add_argument("--out", type=pathlib.Path, default=HERE.parent)
    parser.add_argument("--no-photos", action="store_true", help="truth, marks and case files only")
    parser.add_argument("--list", action="store_true")
    arguments = parser.parse_args()
    plans = chosen(arguments.only)
    if arguments.list:
        print("\n".join(plan.name for plan in plans))
        return
    if arguments.draft == 1.0 and arguments.out == HERE.parent:
        truth.write_all(cases.all_plans(), arguments.out)
    if arguments.no_photos:
        return
    for index, plan in enumerate(plans, 1):
        if (arguments.out / f"{plan.name}.jpg").exists():
            continue
        start = time.monotonic()
        render(plan, arguments.out, arguments.draft)
        print(
            json.dumps({"photo": plan.name, "of": f"{index}/{len(plans)}", "s": round(time.monotonic() - start, 1)}),
            flush=True,
        )
    if arguments.draft == 1.0:
        derive.derive(arguments.out)


if __name__ == "__main__":
    main()
