"""`python3 -m kit`: turn an old Python away with one sentence, else run the command."""

# Read by any Python, old ones included: no annotations, no f-strings, nothing but sys and os.

import os
import sys

OLDEST = (3, 11)
NEWEST_LOOKED_FOR = 19


def newer_python(folders):
    """Return the command of the newest Python in `folders` that is new enough, or None."""
    for minor in range(NEWEST_LOOKED_FOR, OLDEST[1] - 1, -1):
        command = "python3.%d" % minor
        for folder in folders:
            if os.path.basename(folder) == "shims":  # a name here may lead nowhere
                continue
            if any(os.path.isfile(os.path.join(folder, command + end)) for end in ("", ".exe")):
                return command
    return None


def refusal(version, folders, arguments):
    """Return the sentence for a Python that is too old, with the next step; None when it is not."""
    if tuple(version[:2]) >= OLDEST:
        return None
    newer = newer_python(folders)
    if newer:
        step = "This machine has a newer one: run `%s -m kit %s`." % (newer, " ".join(arguments))
    else:
        step = "Install Python 3.11 or newer and run the same command with it."
    return "This is Python %d.%d, and the kit needs 3.11 or newer. %s" % (
        version[0],
        version[1],
        step,
    )


def main():
    """Run the command given on the command line and return its exit code."""
    folders = os.environ.get("PATH", "").split(os.pathsep)
    sentence = refusal(sys.version_info, folders, sys.argv[1:])
    if sentence:
        sys.stderr.write(sentence + "\n")
        return 1
    from kit.cli import main as run

    return run()


if __name__ == "__main__":
    sys.exit(main())
