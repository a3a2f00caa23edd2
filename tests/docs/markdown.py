"""What is in a Markdown page that can be held to the truth: files, console blocks, Python examples, links, headings.

Running them is test_readme_commands.py. A fence below a paragraph that begins with a path in backticks and ends with
a colon is that file. Rule: whatever a reader would type or save is taken from the page itself and from nowhere else.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
README = ROOT / "README.md"
DEVELOPERS = ROOT / "DEVELOPERS.md"

_FENCE = re.compile(r"^```(\w*)\s*$")
_FILE = re.compile(r"^`([\w./-]+\.\w+)`.*:$")
_CODE = re.compile(r"\[exit code (\d)\]")


@dataclass(frozen=True, slots=True)
class Block:
    """One fence: its language, the text in it, the line it begins in, and the paragraph above it."""

    language: str
    text: str
    line: int
    caption: str = ""

    @property
    def file(self) -> str:
        """The path of the file that it shows, "" if it shows none."""
        named = _FILE.match(self.caption)
        return named[1] if named else ""


@dataclass(frozen=True, slots=True)
class Command:
    """One `$` line of a console block, with what is shown below it."""

    typed: str
    shown: str
    line: int
    exit_code: int


def blocks(page: Path) -> Iterator[Block]:
    """Give every fence of a page, in order."""
    inside: list[str] = []
    language, begun, caption, ended = "", 0, "", True
    for number, line in enumerate(page.read_text(encoding="utf-8").splitlines(), 1):
        match = _FENCE.match(line)
        if begun and line == "```":
            yield Block(language, "".join(f"{each}\n" for each in inside), begun, caption)
            begun, inside, caption, ended = 0, [], "", True
        elif begun:
            inside.append(line)
        elif match:
            language, begun = match[1], number
        elif line:
            caption, ended = line if ended else f"{caption} {line}", False
        else:
            ended = True


def commands(block: Block) -> Iterator[Command]:
    """Give the commands of a console block; `# [exit code 1]` after one says how it ends, else it ends well."""
    typed, line, shown = "", 0, ""
    for number, text in enumerate(block.text.splitlines(), block.line + 1):
        if text.startswith("$ "):
            if typed:
                yield _command(typed, shown, line)
            typed, line, shown = text[2:], number, ""
        else:
            shown += f"{text}\n"
    if typed:
        yield _command(typed, shown, line)


def _command(typed: str, shown: str, line: int) -> Command:
    code = _CODE.search(typed)
    return Command(typed.partition(" # ")[0].strip(), shown, line, int(code[1]) if code else 0)


def headings(page: Path) -> list[str]:
    """Give the anchor of every heading outside fences, as a repository's pages make it."""
    text = re.sub(r"^```.*?^```", "", page.read_text(encoding="utf-8"), flags=re.DOTALL | re.MULTILINE)
    titles = re.findall(r"^#+ (.+)$", text, flags=re.MULTILINE)
    return [re.sub(r"[^\w\- ]", "", title.lower()).strip().replace(" ", "-") for title in titles]


def links(page: Path) -> list[str]:
    """Give the target of every link outside fences."""
    text = re.sub(r"^```.*?^```", "", page.read_text(encoding="utf-8"), flags=re.DOTALL | re.MULTILINE)
    return re.findall(r"\]\(([^)\s]+)\)", text)


def section(page: Path, title: str) -> str:
    """Give the text under a heading, up to the next of its rank or a higher one."""
    text = page.read_text(encoding="utf-8")
    head = re.search(rf"^(#+) {re.escape(title)}$", text, flags=re.MULTILINE)
    assert head, f"{page.name} has no heading {title!r}"
    rest = text[head.end() :]
    end = re.search(rf"^#{{1,{len(head[1])}}} ", rest, flags=re.MULTILINE)
    return rest[: end.start()] if end else rest
