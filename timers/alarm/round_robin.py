"""A queue that shares a few threads among many shops: round robin, and a limit on how much of one shop runs at once."""

import threading
from collections import Counter, OrderedDict, deque
from collections.abc import Iterator
from contextlib import contextmanager


class Turns:
    """Pieces of work by shop, of which at most `most` run at once for one shop.

    Take as often as was put: `taken` waits while all that is left is of shops that have `most` running.
    """

    def __init__(self, most: int):
        self.most = most
        self._waiting: OrderedDict[object, deque] = OrderedDict()
        self._running: Counter = Counter()
        self._changed = threading.Condition()

    def put(self, shop, work) -> None:
        """Queue a piece of work behind the others of its shop."""
        with self._changed:
            self._waiting.setdefault(shop, deque()).append(work)
            self._changed.notify()

    @contextmanager
    def taken(self) -> Iterator:
        """The next piece of work; it counts as running until the block ends."""
        with self._changed:
            self._changed.wait_for(lambda: self._next() is not None)
            shop = self._next()
            work = self._waiting[shop].popleft()
            self._waiting.move_to_end(shop)
            if not self._waiting[shop]:
                del self._waiting[shop]
            self._running[shop] += 1
        try:
            yield work
        finally:
            with self._changed:
                self._running[shop] -= 1
                if not self._running[shop]:
                    del self._running[shop]
                self._changed.notify_all()

    def _next(self):
        return next((shop for shop in self._waiting if self._running[shop] < self.most), None)
