"""Work of many shops for a few threads: each shop in its turn, and no more than so much of one shop at once."""

import threading
from collections import Counter, OrderedDict, deque
from collections.abc import Iterator
from contextlib import contextmanager


class Turns:
    """Who takes once for each piece that was put gets one; a thread waits while all that is left is of shops that have
    their most under way."""

    def __init__(self, most: int):
        self.most = most
        self._waiting: OrderedDict[object, deque] = OrderedDict()
        self._under_way: Counter = Counter()
        self._changed = threading.Condition()

    def put(self, shop, work) -> None:
        with self._changed:
            self._waiting.setdefault(shop, deque()).append(work)
            self._changed.notify()

    @contextmanager
    def taken(self) -> Iterator:
        """The next piece, under way until the block ends."""
        with self._changed:
            self._changed.wait_for(lambda: self._next() is not None)
            shop = self._next()
            work = self._waiting[shop].popleft()
            self._waiting.move_to_end(shop)
            if not self._waiting[shop]:
                del self._waiting[shop]
            self._under_way[shop] += 1
        try:
            yield work
        finally:
            with self._changed:
                self._under_way[shop] -= 1
                if not self._under_way[shop]:
                    del self._under_way[shop]
                self._changed.notify_all()

    def _next(self):
        return next((shop for shop in self._waiting if self._under_way[shop] < self.most), None)
