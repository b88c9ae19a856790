"""Size a site file from the shell: python -m conversions.sizing SITE.json [--json] [--explain FIGURE]."""

import argparse
import json
import sys
from pathlib import Path

from . import OWN, SiteError, read_site, takeoff
from .figures import TEXTS
from .results import Figure, Takeoff


def main(arguments: list[str] | None = None) -> int:
    """Read a site file and print what was asked; 0 when it could be sized, 2 with a line for each fault."""
    parser = argparse.ArgumentParser(prog="python -m conversions.sizing", description="Take off a site file.")
    parser.add_argument("site", help="a site file, schema 1 (JSON)")
    parser.add_argument("--json", action="store_true", help="print everything as data")
    parser.add_argument("--explain", metavar="FIGURE", help="how one figure came about")
    options = parser.parse_args(arguments)
    try:
        result = takeoff(read_site(_document(options.site)))
    except SiteError as error:
        for problem in error.problems:
            print(" ".join(str(problem).split()), file=sys.stderr)  # one line, whatever a name holds
        return 2
    except OSError as error:
        print(f"{options.site}: {error.strerror or error}", file=sys.stderr)
        return 2
    except (ValueError, RecursionError) as error:
        print(f"{options.site}: this is not a JSON file that can be read ({error})", file=sys.stderr)
        return 2
    if options.explain:
        if options.explain not in result.figures:
            print(f"No figure {options.explain!r}. There are: {', '.join(result.figures)}.", file=sys.stderr)
            return 2
        print("\n".join(explained(result.figures[options.explain])))
    elif options.json:
        print(json.dumps(result.as_dict(), indent=1))
    else:
        print("\n".join(listed(result)))
    return 0


def _document(path: str) -> dict:
    return json.loads(Path(path).read_text(encoding="utf-8-sig"))  # some editors put a mark in front


def listed(result: Takeoff) -> list[str]:
    """The whole take-off in lines: figures, work, advice."""
    out = [_line(figure) for figure in result.figures.values()]
    out += ["", "Work"]
    out += [
        f"  {task.task:<30} {task.quantity:>8g} {task.unit:<8} {task.low_h:.1f} / {task.likely_h:.1f} / {task.high_h:.1f} h"
        + ("" if task.when == "day" else f"  ({task.when})")
        for task in result.tasks
    ]
    out += [f"Note: {problem}" for problem in (*result.advice, *result.warnings)]
    return out


def _line(figure: Figure) -> str:
    spread = f"  ({figure.low:g} to {figure.high:g})" if figure.low is not None else ""
    return f"{figure.key:<18} {figure.value:>10g} {figure.unit}{spread}"


def explained(figure: Figure) -> list[str]:
    """One figure in lines: inputs, formula, rounding, source, and what is the group's own."""
    out = [_line(figure), figure.formula]
    out += [f"  {label:<32} {value:>10g} {unit}" for label, value, unit in figure.inputs]
    out += [figure.rounding, figure.source]
    if figure.origin == "book":
        return [*out, "From the book."]
    return [*out, *(_own_line(name) for name in figure.own), f"The book: {TEXTS[figure.key][3]}"]


def _own_line(name: str) -> str:
    row = OWN[name]
    return f"Yours: {row.name} ({row.label}); the book has {row.default:g} {row.unit}".rstrip() + f", {row.source}."


if __name__ == "__main__":
    sys.stdout.reconfigure(errors="backslashreplace")  # names and signs that the terminal cannot show
    sys.exit(main())
