"""The first word chooses: a command, else paths for the screen. Only the chosen command's module is loaded."""

from __future__ import annotations

import argparse
import os
import sys
from importlib import import_module

from spectui.cli.exits import Exit
from spectui.cli.output import data, settle, talk
from spectui.core.errors import FileError, SpectuiError

# Command → what it is for, in the order of the help.
COMMANDS = {
    "metrics": "what the light of each scan is worth: photons, energy, illuminance, colour",
    "compare": "two or more scans against the first: conditions, bands, metrics",
    "chromaticity": "nominal class, steps from its centre, and the bin of each scan",
    "rendition": "how colours look under the light: Ra, R1-R14, Rf, Rg, hue bins",
    "convert": "write scans in another format: csv, IES TM-27, JCAMP-DX",
    "layout": "propose a layout for a delimited file of unknown form",
    "simulate": "print one invented scan, as an instrument's own command would",
    "verify": "validate this installation against published values",
}
_OVERVIEW = """\
usage: spectui [PATH ...]            the screen, on files and folders (default: this folder)
       spectui samples               the screen, on the bundled scenario
       spectui COMMAND --help        one of the commands below

{commands}

options of the screen:
  --samples          the bundled scenario
  --unit U           unit of scans that declare none
  --version          print the version
  --help             print this

Every command prints data on stdout and talk on stderr, and answers --json.
Exit codes: 0 done, 1 a verdict is fail or a check does not hold, 2 usage, 3 some input could not be read,
4 undecided, 130 interrupted.
"""


def main(argv: list[str] | None = None) -> int:
    """Run spectui with these arguments (default: the process's own) and return its exit code."""
    words = sys.argv[1:] if argv is None else list(argv)
    settle()
    try:
        return _run(words)
    except KeyboardInterrupt:
        return Exit.INTERRUPTED
    except BrokenPipeError:
        # The reader (head, less) has seen enough; nothing more may be written, not even at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return Exit.DONE
    except FileError as error:
        _say(str(error))
        return Exit.UNREADABLE
    except SpectuiError as error:
        _say(str(error))
        return Exit.USAGE


def _say(message: str) -> None:
    talk(f"spectui: {message}")


def _run(words: list[str]) -> int:
    if words and words[0] in COMMANDS:
        return command(words[0], words[1:])
    if "--version" in words:
        from spectui import __version__

        print(f"spectui {__version__}")
        return Exit.DONE
    if "--help" in words or "-h" in words:
        lines = (f"  {name:<14}{what}" for name, what in COMMANDS.items())
        print(_OVERVIEW.format(commands="\n".join(lines)), end="")
        return Exit.DONE
    return _screen(words)


def command(name: str, words: list[str]) -> int:
    """Parse and run one command; what follows the first `--` is another program's command line."""
    module = import_module(f"spectui.cli.{name}")
    cut = words.index("--") if "--" in words else len(words)
    words, rest = words[:cut], words[cut + 1 :]
    parser = argparse.ArgumentParser(
        prog=f"spectui {name}",
        description=module.__doc__,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    module.add(parser)
    args = parser.parse_intermixed_args(words)
    args.rest = rest
    try:
        code: int = module.run(args)
    except SpectuiError as error:
        if args.json:
            from spectui.report.jsontext import failed

            data(failed([(getattr(error, "source", None), getattr(error, "message", str(error)))]))
        raise
    sys.stdout.flush()
    return code


def _screen(words: list[str]) -> int:
    parser = argparse.ArgumentParser(prog="spectui", allow_abbrev=False, add_help=False)
    parser.add_argument("paths", nargs="*")
    parser.add_argument("--samples", action="store_true")
    parser.add_argument("--unit")
    args = parser.parse_intermixed_args([w for w in words if w != "--"])
    from spectui.tui.app import run

    paths = list(args.paths)
    if args.samples:
        from spectui.places import samples

        paths.insert(0, str(samples()))
    from spectui.cli.inputs import bundled

    return int(run([bundled(p) for p in paths], unit=args.unit))


if __name__ == "__main__":
    sys.exit(main())
