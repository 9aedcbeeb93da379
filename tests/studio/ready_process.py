"""A process that has loaded the libraries, and forks for each piece of code that it is sent.

What is read once in a process, as settings are, is so tried many times without waiting for the
same libraries again. None of our own modules is loaded before the fork.
"""

import json
import os
import subprocess
import sys
import traceback
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from importlib import import_module
from pathlib import Path
from tempfile import TemporaryFile

ROOT = Path(__file__).resolve().parents[2]
#: Those that look at no settings while they are loaded.
LIBRARIES = (
    *("celery.app.task", "django.core.management", "django.core.cache.backends.locmem"),
    *("django.db.models", "django.forms", "django.test", "environs", "lxml.etree", "mido"),
    *("numpy", "redis", "verovio"),
)
Run = Callable[[str, Mapping[str, str]], subprocess.CompletedProcess]


def managed(*words: object) -> str:
    """The code of a command of manage.py."""
    arguments = ["manage.py", *map(str, words)]
    return (
        f"import runpy, sys; sys.argv = {arguments}; runpy.run_path('manage.py', None, '__main__')"
    )


@contextmanager
def ready() -> Iterator[Run]:
    """A function that runs code under an environment, as `python -c` does."""
    command = [sys.executable, "-m", "tests.studio.ready_process"]
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE}
    with subprocess.Popen(command, cwd=ROOT, text=True, **pipes) as process:

        def run(code: str, environment: Mapping[str, str]) -> subprocess.CompletedProcess:
            print(json.dumps([code, dict(environment)]), file=process.stdin, flush=True)
            return subprocess.CompletedProcess(code, **json.loads(process.stdout.readline()))

        yield run
        process.stdin.close()


def main() -> None:
    for library in LIBRARIES:
        import_module(library)
    for line in sys.stdin:
        sys.stdout.write(f"{json.dumps(_run(*json.loads(line)))}\n")
        sys.stdout.flush()  # before a child could have it too


def _run(code: str, environment: dict[str, str]) -> dict[str, object]:
    with TemporaryFile() as out, TemporaryFile() as errors:
        child = os.fork()
        if not child:
            os.dup2(out.fileno(), 1)
            os.dup2(errors.fileno(), 2)
            os.environ.clear()
            os.environ.update(environment)
            _to_the_end(code)
        _, status = os.waitpid(child, 0)
        texts = {"stdout": out, "stderr": errors}
        for name, file in texts.items():
            file.seek(0)
            texts[name] = file.read().decode()
    return {"returncode": os.waitstatus_to_exitcode(status), **texts}


def _to_the_end(code: str) -> None:
    left = 1
    try:
        exec(code, {"__name__": "__main__"})
        left = 0
    except SystemExit as asked:
        left = int(asked.code or 0)
    except BaseException:
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(left)


if __name__ == "__main__":
    main()
