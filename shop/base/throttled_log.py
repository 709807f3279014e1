"""Log lines that strangers can cause: the first at once, then one a minute with their number."""

import logging
import time

SPAN_S = 60


class Seldom:
    """One kind of line; `words` is a format with a number and a reason."""

    def __init__(self, logger: logging.Logger, words: str, clock=time.monotonic):
        self.logger, self.words, self.clock = logger, words, clock
        self.since, self.count = None, 0

    def note(self, why: str) -> None:
        self.count += 1
        now = self.clock()
        if self.since is None or now - self.since >= SPAN_S:
            self.logger.warning(self.words, self.count, why)
            self.since, self.count = now, 0


class Once(logging.Filter):
    """For loggers of libraries: each message template and status once a minute, without a traceback.  Records from the
    level `always` on are our own errors: logged each time, in full."""

    def __init__(self, always: int = logging.CRITICAL, clock=time.monotonic):
        super().__init__()
        self.always, self.clock, self.last_s = always, clock, {}

    def filter(self, record: logging.LogRecord) -> bool:
        if record.levelno >= self.always:
            return True
        record.exc_info = record.exc_text = None
        key, now = (record.name, str(record.msg)[:20], getattr(record, "status_code", None)), self.clock()
        if now - self.last_s.get(key, float("-inf")) < SPAN_S:
            return False
        self.last_s[key] = now
        return True
