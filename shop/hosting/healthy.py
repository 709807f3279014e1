"""`python -m shop.hosting.healthy [PATH]`: whether the server beside us is ready; for a container's health check."""

import os
import sys
import urllib.request

PATIENCE_S = 4


def main(path: str = "readyz") -> int:
    """0 when the server on this machine answers 200, asked under the first name that the host gave it."""
    host = os.environ.get("SANDTIME_HOSTS", "").split(",")[0] or "localhost"
    port = os.environ.get("SANDTIME_PORT", "8000")
    try:
        request = urllib.request.Request(f"http://127.0.0.1:{port}/{path}", headers={"Host": host})
        with urllib.request.urlopen(request, timeout=PATIENCE_S) as answer:
            return 0 if answer.status == 200 else 1
    except OSError as why:
        print(why, file=sys.stderr)
        return 1


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:2]))
