"""What every sheet in HTML shares: one file, black on white, for paper of any size and for a telephone."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape

from model.words import clean

MARK = '<meta name="generator" content="Fusewalk">'
"""Stands in the head of every sheet."""

FETCHES_NOTHING = (
    '<meta http-equiv="Content-Security-Policy" '
    "content=\"default-src 'none'; img-src data:; style-src 'unsafe-inline'\">"
)
"""Lets a browser open the file alone, whatever a harness file brought in (Content Security Policy, W3C)."""

_LONGEST = 4000
_STYLE = """
* { box-sizing: border-box; }
body { color: #000; background: #fff; font: 9.5pt/1.3 sans-serif; max-width: 210mm; margin: 4mm auto; padding: 0 3mm; }
h1 { font-size: 15pt; margin: 0 0 1mm; }
h2 { font-size: 11.5pt; margin: 4mm 0 1mm; break-after: avoid; }
p { margin: 0 0 1.5mm; }
ul, ol { margin: 0 0 2mm; padding-left: 6mm; }
li { overflow-wrap: anywhere; }
.caution { border-left: 1.5mm solid #000; padding-left: 2.5mm; font-weight: bold; }
.general { font-weight: normal; font-size: 9pt; }
.blanks { display: flex; flex-wrap: wrap; gap: 2mm 5mm; margin: 2mm 0 3mm; }
.blanks span::after { content: ""; display: inline-block; width: 19mm; border-bottom: 0.3mm solid #000; }
table { font-size: 9pt; width: 100%; border-collapse: collapse; table-layout: fixed; margin: 0 0 3mm; }
thead { display: table-header-group; }
tbody { break-inside: avoid; }
tr { break-inside: avoid; }
th, td { border: 0.2mm solid #000; padding: 0.8mm 1.2mm; text-align: left; vertical-align: top; }
th, td { overflow-wrap: anywhere; }
thead th { font-size: 8.5pt; border-bottom-width: 0.5mm; }
th.narrow { writing-mode: vertical-rl; transform: rotate(180deg); height: 18mm; overflow-wrap: normal; }
tr.head th { font-size: 10.5pt; border-width: 0.5mm 0 0.2mm; padding-top: 2.5mm; }
tr.before td { border-width: 0.2mm 0.2mm 0; }
tr.before p { margin: 0 0 0.6mm; }
tr.why td { font-size: 8.5pt; border-top: 0; }
.box { display: inline-block; width: 4mm; height: 4mm; border: 0.35mm solid #000; text-align: center; }
.box { vertical-align: middle; line-height: 3.4mm; font-weight: bold; }
.small { font-size: 8pt; }
ul.notes { columns: 75mm 2; font-size: 8pt; margin: 1mm 0; }
.remark { font-style: italic; }
.verdict { font-weight: bold; text-transform: uppercase; }
""".strip()
_PHONE = """
@media screen and (max-width: 600px) {
  body, table { font-size: 12pt; }
  table, tbody, tr, td, th { display: block; width: auto; }
  colgroup, thead { display: none; }
  tbody { border: 0.5mm solid #000; margin: 0 0 3mm; padding: 1mm 0; }
  tbody tr.head { border-bottom: 0.2mm solid #000; }
  th, td, tr.head th, tr.before td, tr.why td { border: 0; padding: 0.6mm 2mm; text-align: left; }
  td[data-name]::before { content: attr(data-name) ": "; font-weight: bold; }
  td.empty { display: none; }
  .small, .general, ul.notes, tr.why td { font-size: 11pt; }
  tr.head th { font-size: 13pt; }
  ul.notes { columns: 1; }
}
""".strip()


def html_page(title: str, columns_mm: Iterable[str], body: Iterable[str], *, style: str = "") -> str:
    """Give a whole HTML file that fetches nothing.

    Parameters
    ----------
    title
        Stands at the foot of each printed page, where the browser prints such, beside its number.
    columns_mm
        Widths of the columns of its tables as CSS lengths, ``auto`` for what is left.
    style
        CSS of this page alone, after that of all pages.
    """
    widths = "\n".join(f"col:nth-child({place}) {{ width: {width}; }}" for place, width in enumerate(columns_mm, 1))
    foot = (
        "@page { margin: 12mm 11mm 15mm;\n"
        f'  @bottom-left {{ content: "{css_text(title)}"; font: 8pt sans-serif; }}\n'
        '  @bottom-right { content: "page " counter(page) " of " counter(pages); font: 8pt sans-serif; } }\n'
        "@media print { body { margin: 0; padding: 0; max-width: none; } }"
    )
    return "\n".join(
        [
            "<!DOCTYPE html>",
            '<html lang="en">',
            "<head>",
            MARK,
            '<meta charset="utf-8">',
            FETCHES_NOTHING,
            '<meta name="viewport" content="width=device-width, initial-scale=1">',
            f"<title>{text(title)}</title>",
            f"<style>\n{foot}\n{_STYLE}\n{widths}\n{_PHONE}\n{style}</style>",
            "</head>",
            "<body>",
            *body,
            "</body>",
            "</html>",
        ]
    )


def css_text(words: str) -> str:
    """Give text for a string of CSS inside a style element: every sign but letters and digits as its number."""
    shown = clean(words, 120)
    return "".join(sign if sign.isascii() and sign.isalnum() else f"\\{ord(sign):06x}" for sign in shown)


def text(words: str) -> str:
    """Give text from a file so that HTML shows it as it stands."""
    return escape(clean(words, _LONGEST), quote=True)


def listed(head: str, words: Iterable[str]) -> list[str]:
    """Give a list under a head; nothing where it is empty."""
    items = [f"<li>{text(one)}</li>" for one in words]
    return [f"<h2>{text(head)}</h2>", "<ul>", *items, "</ul>"] if items else []


def cautions(words: Iterable[str]) -> list[str]:
    """Give the cautions that hold for a whole sheet."""
    return [f'<p class="caution general">Caution: {text(one)}</p>' for one in words]


def blanks(names: Iterable[str]) -> str:
    """Give fields to be filled in by hand."""
    return f'<div class="blanks">{"".join(f"<span>{text(name)}: </span>" for name in names)}</div>'


def cell(words: str, name: str, kind: str = "") -> str:
    """Give a cell of a table; `name` is said before it where the table stands in blocks."""
    kinds = " ".join(one for one in (kind, "" if words else "empty") if one)
    marked = f' class="{kinds}"' if kinds else ""
    return f'<td data-name="{text(name)}"{marked}>{words}</td>'
