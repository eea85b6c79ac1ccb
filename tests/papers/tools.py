"""Looks into papers with tools that are not ours: PDFs with qpdf and pdffonts, pdftotext, pdfinfo, pdfimages and
pdfdetach of poppler, DICOM with dciodvfy of dicom3tools and dcmdump of dcmtk.

A tool that is missing makes the test fail: FileNotFoundError, never a skip.
"""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path
from typing import Any


def tool(*arguments: str | Path) -> str:
    done = subprocess.run([str(a) for a in arguments], capture_output=True, check=False)
    assert done.returncode == 0, done.stderr.decode("utf-8", "replace")
    return done.stdout.decode("utf-8", "replace")


def complaints(pdf: Path) -> str:
    """What `qpdf --check` says is wrong; empty where nothing is."""
    done = subprocess.run(["qpdf", "--check", str(pdf)], capture_output=True, text=True, check=False)
    clean = done.returncode == 0 and "No syntax or stream encoding errors found" in done.stdout
    return "" if clean else done.stdout + done.stderr


def fonts(pdf: Path) -> list[tuple[str, bool, bool]]:
    """Name, embedded, subset of each font."""
    lines = tool("pdffonts", pdf).splitlines()[2:]
    found = [re.match(r"^(\S+)\s+.*?\s(yes|no)\s+(yes|no)\s+(?:yes|no)\s+\d+\s+\d+\s*$", line) for line in lines]
    assert found and all(found), lines
    return [(item.group(1), item.group(2) == "yes", item.group(3) == "yes") for item in found if item]


def info(pdf: Path) -> dict[str, str]:
    pairs = (line.split(":", 1) for line in tool("pdfinfo", pdf).splitlines() if ":" in line)
    return {name.strip(): value.strip() for name, value in pairs}


def text(pdf: Path, page: int | None = None) -> str:
    """The words in the order of the file (which is the order read aloud), lines joined by single spaces."""
    only = () if page is None else ("-f", str(page), "-l", str(page))
    return " ".join(tool("pdftotext", "-raw", *only, pdf, "-").split())


def bookmarks(pdf: Path) -> list[tuple[str, int]]:
    """Every bookmark with its page, in order."""
    found: list[tuple[str, int]] = []

    def walk(items: list[dict[str, Any]]) -> None:
        for item in items:
            found.append((item["title"], item["destpageposfrom1"]))
            walk(item["kids"])

    walk(json.loads(tool("qpdf", "--json", "--json-key=outlines", pdf))["outlines"])
    return found


def alternatives(pdf: Path) -> list[str]:
    """What is told in place of each picture (plain strings of the file; those in other letters are left out)."""
    opened = tool("qpdf", "--qdf", "--object-streams=disable", pdf, "-")
    return re.findall(r"/Alt\s*\(((?:[^()\\]|\\.)*)\)", opened)


def words_outside(pdf: Path) -> list[str]:
    """Words that do not lie wholly on their page."""
    out = []
    wide = tall = 0.0
    for line in tool("pdftotext", "-bbox", pdf, "-").splitlines():
        page = re.search(r'<page width="([\d.]+)" height="([\d.]+)"', line)
        if page:
            wide, tall = float(page.group(1)), float(page.group(2))
        word = re.search(r'xMin="(-?[\d.]+)" yMin="(-?[\d.]+)" xMax="(-?[\d.]+)" yMax="(-?[\d.]+)">(.*)</word>', line)
        if word:
            left, top, right, low = (float(word.group(k)) for k in range(1, 5))
            if left < 0 or top < 0 or right > wide or low > tall:
                out.append(word.group(5))
    return out


def last_lines(pdf: Path) -> list[str]:
    """The lowest line of words of each page."""
    pages = tool("pdftotext", "-layout", pdf, "-").split("\f")
    return [[line.strip() for line in page.splitlines() if line.strip()][-1] for page in pages if page.strip()]


def pictures(pdf: Path, folder: Path) -> list[Path]:
    """Every picture inside, as its own bytes."""
    tool("pdfimages", "-all", pdf, folder / "picture")
    return sorted(folder.glob("picture*"))


def attached(pdf: Path, folder: Path) -> dict[str, bytes]:
    tool("pdfdetach", "-saveall", "-o", folder, pdf)
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def dicom_judged(path: Path) -> list[str]:
    """What `dciodvfy` (dicom3tools) says of a DICOM file, line by line; the name of its kind among them."""
    done = subprocess.run(["dciodvfy", "-new", str(path)], capture_output=True, text=True, check=False)
    return [line for line in (done.stdout + done.stderr).splitlines() if line.strip()]
