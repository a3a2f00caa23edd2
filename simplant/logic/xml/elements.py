"""XML text to elements and back; every element and every letter knows where it stood.

What the elements mean is read*.py and write*.py. Rule: declarations of entities, and documents that are too deep or
too large, are refused before anything else is done; no file but the one given is ever opened.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Final
from xml.sax import SAXParseException
from xml.sax.handler import ContentHandler
from xml.sax.saxutils import escape, quoteattr
from xml.sax.xmlreader import AttributesImpl, InputSource, Locator

from defusedxml import DefusedXmlException
from defusedxml.expatreader import DefusedExpatParser

from simplant.errors import Place
from simplant.logic.st.cursor import KEYWORDS
from simplant.logic.st.report import Report, fail

DEEPEST: Final = 60
"""Elements in one another."""
MOST: Final = 500_000
"""Elements in one file."""
_NOT_IN_XML: Final = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_LATE: Final = re.compile(r"\A\s+<\?xml[^>]*\?>")
"""A first line that is not the first: what was copied often begins with empty rows."""
NOWHERE: Final = Place("")
"""The place of what is made to be written."""
_NAME: Final = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")


@dataclass(frozen=True, slots=True)
class Piece:
    """Letters as they stand in the file in one row, without a line end in them."""

    place: Place
    text: str


@dataclass(slots=True)
class Element:
    """One element: its name and attributes without prefixes, and what is in it."""

    name: str
    attributes: dict[str, str] = field(default_factory=dict)
    content: list[Element | Piece] = field(default_factory=list)
    place: Place = NOWHERE

    @property
    def children(self) -> list[Element]:
        """The elements in it, in order."""
        return [each for each in self.content if isinstance(each, Element)]

    def child(self, name: str) -> Element | None:
        """Give the first element of a name in it."""
        return next((each for each in self.children if each.name == name), None)

    def part(self, name: str) -> Element:
        """Give an element that must stand in it; raises `Fault`."""
        found = self.child(name)
        if found is None:
            fail(self.place, f"<{self.name}> has no <{name}>", length=len(self.name) + 1)
        return found

    def each(self, *names: str) -> list[Element]:
        """Give the elements of some names in it."""
        return [each for each in self.children if each.name in names]

    def get(self, name: str) -> str:
        """Give an attribute; empty if it is not there."""
        return self.attributes.get(name, "").strip()

    def need(self, name: str) -> str:
        """Give an attribute that must be there and hold something."""
        found = self.get(name)
        if not found:
            fail(self.place, f"<{self.name}> has no {name}", mend=f'write {name}="..."', length=len(self.name) + 1)
        return found

    def name_in(self, attribute: str, *also: str) -> str:
        """Give an attribute that must be a name of IEC 61131-3, or one of some words."""
        found = self.need(attribute)
        if not _NAME.fullmatch(found) or (found.upper() in KEYWORDS and found.upper() not in also):
            why = "it is a word of the language" if found.upper() in KEYWORDS else "names are of letters, digits and _"
            fail(self.place, f"{found!r} is no name", why, length=len(self.name) + 1)
        return found

    def flag(self, name: str) -> bool:
        """Give an attribute that is true or false."""
        word = self.get(name).lower()
        if word not in ("", "true", "false", "0", "1"):
            fail(self.place, f"{name} of <{self.name}> is {word!r}", mend="write true or false")
        return word in ("true", "1")

    def within(self) -> Iterator[Element]:
        """Give all elements in it, those in others too."""
        for each in self.children:
            yield each
            yield from each.within()

    def pieces(self) -> Iterator[Piece]:
        """Give all letters in it, those in other elements too."""
        for each in self.content:
            if isinstance(each, Piece):
                yield each
            else:
                yield from each.pieces()


def read_elements(report: Report) -> Element:
    """Read the text of a report as XML.

    Raises:
        Fault: it is no XML, or declares entities, or is too deep or too large.
    """
    parser = _Parser(forbid_dtd=True)
    handler = _Handler(report.name)
    parser.setContentHandler(handler)
    source = InputSource()
    text = _LATE.sub(lambda found: re.sub(r"[^\n]", " ", found[0]), report.text)
    source.setByteStream(io.BytesIO(text.encode("utf-8", "replace")))
    source.setEncoding("utf-8")
    try:
        parser.parse(source)
    except SAXParseException as error:
        place = Place(report.name, max(1, error.getLineNumber() or 1), max(0, error.getColumnNumber() or 0) + 1)
        fail(place, f"this is no XML: {error.getMessage()}")
    except DefusedXmlException:
        what = "a document type is declared"
        fail(handler.here(), what, "entities could make the file mean or become anything", "take out <!DOCTYPE ...>")
    assert handler.root is not None, "a document without a root is an error of the parser"
    return handler.root


class _Parser(DefusedExpatParser):  # type: ignore[misc]  # the library has no types
    """Tells letters as they stand; gathered ones would be told with the place of what follows them."""

    def reset(self) -> None:
        super().reset()
        self._parser.buffer_text = False


class _Handler(ContentHandler):
    """Builds the elements."""

    def __init__(self, file: str) -> None:
        super().__init__()
        self.root: Element | None = None
        self._file, self._open, self._count = file, list[Element](), 0
        self._locator: Locator | None = None

    def setDocumentLocator(self, locator: Locator) -> None:
        """Keep what tells the place."""
        self._locator = locator

    def here(self) -> Place:
        """Give the place where the parser stands."""
        line, column = (self._locator.getLineNumber(), self._locator.getColumnNumber()) if self._locator else (1, 0)
        return Place(self._file, max(1, line or 1), max(0, column or 0) + 1)

    def startElement(self, name: str, attrs: AttributesImpl) -> None:
        """Begin an element."""
        self._count += 1
        if len(self._open) >= DEEPEST:
            fail(self.here(), f"more than {DEEPEST} elements stand in one another")
        if self._count > MOST:
            fail(self.here(), f"there are more than {MOST} elements")
        plain = {_local(k): v for k, v in attrs.items() if not k.startswith("xmlns")}
        made = Element(_local(name), plain, [], self.here())
        if self._open:
            self._open[-1].content.append(made)
        else:
            made.attributes["xmlns"] = next((v for k, v in attrs.items() if _names_space(k, name)), "")
            self.root = made
        self._open.append(made)

    def characters(self, content: str) -> None:
        """Take letters."""
        self._open[-1].content.append(Piece(self.here(), content))

    def endElement(self, name: str) -> None:
        """End an element."""
        del name
        self._open.pop()


def _local(name: str) -> str:
    return name.rpartition(":")[2]


def _names_space(key: str, root: str) -> bool:
    prefix = root.rpartition(":")[0]
    return key == (f"xmlns:{prefix}" if prefix else "xmlns")


def write_elements(root: Element) -> str:
    """Give elements as text: one a line, two blanks deeper for each level; letters stay as they are.

    Raises:
        Fault: a letter is in them that XML cannot hold.
    """
    lines = ['<?xml version="1.0" encoding="utf-8"?>']
    _write(root, "", lines)
    text = "\n".join(lines) + "\n"
    wrong = _NOT_IN_XML.search(text)
    if wrong is not None:
        fail(
            root.place,
            f"a text holds the letter U+{ord(wrong[0]):04X}",
            "XML cannot hold it",
            "write it as $ and its code",
        )
    return text


def _write(element: Element, margin: str, lines: list[str]) -> None:
    head = "".join([element.name, *(f" {k}={quoteattr(v)}" for k, v in element.attributes.items())])
    if not element.content:
        lines.append(f"{margin}<{head}/>")
    elif element.children:
        lines.append(f"{margin}<{head}>")
        for each in element.children:
            _write(each, margin + "  ", lines)
        lines.append(f"{margin}</{element.name}>")
    else:
        text = escape("".join(piece.text for piece in element.pieces()), {"\r": "&#13;"})
        lines.append(f"{margin}<{head}>{text}</{element.name}>")


def text_element(name: str, text: str, /, **attributes: str) -> Element:
    """Make an element that holds letters."""
    return Element(name, attributes, [Piece(NOWHERE, text)])


__all__ = ["Element", "Piece", "read_elements", "text_element", "write_elements"]
