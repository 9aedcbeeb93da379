"""`celery -A studio worker`, by a clock that is so many seconds ahead: the one argument."""

import sys
from datetime import UTC, datetime, timedelta

from tests.upgrade import moved_clock

if __name__ == "__main__":
    moved_clock.start_at(datetime.now(UTC) + timedelta(seconds=float(sys.argv[1])))
    from celery.__main__ import main

    sys.argv = ["celery", "-A", "studio", "worker", "--pool", "solo", "--loglevel", "info"]
    main()
