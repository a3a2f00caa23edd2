"""SVG as text: elements, numbers, and the style that a picture carries when it stands alone.

Rule: the classes are those of the page, so that a chart looks the same in a page, a file and a print; a file of its own
has plain colours in place of variables, which not every program that shows SVG understands.
"""

import re
from collections.abc import Mapping
from functools import cache
from html import escape
from importlib.resources import files
from math import floor
from typing import Final

CHARACTER: Final = 6.6
"""Width of a character of the labels, pixels: what texts are cut by."""


def number(value: float) -> str:
    """Give a coordinate with at most one digit behind the point, as the page's script does."""
    tenths = floor(value * 10 + 0.5)
    return str(tenths // 10) if tenths % 10 == 0 else f"{tenths / 10:.1f}"


def element(name: str, content: str | None = None, /, **attributes: object) -> str:
    """Give an element; `class_` is written `class`, `_` in names as `-`, numbers as coordinates."""
    told = "".join(f' {key.rstrip("_").replace("_", "-")}="{_value(value)}"' for key, value in attributes.items())
    return f"<{name}{told}/>" if content is None else f"<{name}{told}>{content}</{name}>"


def _value(value: object) -> str:
    return number(value) if isinstance(value, int | float) else escape(str(value))


def text(words: str, x: float, y: float, class_: str = "", *, title: str = "") -> str:
    """Give a line of text."""
    told = f"<title>{escape(title)}</title>" if title else ""
    return element("text", told + escape(words, quote=False), x=x, y=y, **({"class_": class_} if class_ else {}))


def cut(words: str, room: float) -> str:
    """Give as much of a text as there is room for, pixels; "" if that is hardly anything."""
    fits = floor(room / CHARACTER)
    if len(words) <= fits:
        return words
    return f"{words[: fits - 1]}…" if fits >= 3 else ""


@cache
def asset(name: str) -> str:
    """Give a file that is shipped beside this package."""
    return files("simplant.report").joinpath("assets", name).read_text(encoding="utf-8")


def alone(width: float, height: float, title: str, body: str, style: str) -> str:
    """Give a whole SVG file.

    Args:
        width: pixels.
        height: pixels.
        title: what it shows, for those who do not see it.
        body: elements.
        style: the style sheet among the assets.
    """
    about = {"role": "img", "aria_label": title, "xmlns": "http://www.w3.org/2000/svg"}
    size = {"width": width, "height": height, "viewBox": f"0 0 {number(width)} {number(height)}"}
    paper = element("rect", width=width, height=height, class_="paper")
    return element("svg", f"<title>{escape(title)}</title><style>{plain(style)}</style>{paper}{body}", **about, **size)


def plain(style: str) -> str:
    """Give a style sheet with its variables replaced by their values in light."""
    values = _light(asset("ink.css"))
    return re.sub(r"var\(--([\w-]+)\)", lambda match: values[match[1]], asset(style))


def _light(ink: str) -> Mapping[str, str]:
    return dict(re.findall(r"--([\w-]+):\s*([^;]+);", ink.partition("@media")[0]))
