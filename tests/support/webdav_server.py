"""A WebDAV server for the tests: wsgidav over a folder, with one user.

Prints its port, and serves until its standard input ends, which it does when the tests are over, however they end.
"""

import os
import shutil
import sys
import threading

from cheroot import wsgi
from wsgidav.wsgidav_app import WsgiDAVApp

folder, user, password = sys.argv[1:]
app = WsgiDAVApp(
    {
        "host": "127.0.0.1",
        "port": 0,
        "provider_mapping": {"/": folder},
        "http_authenticator": {"accept_basic": True, "accept_digest": False, "default_to_digest": False},
        "simple_dc": {"user_mapping": {"*": {user: {"password": password}}}},
        "verbose": 0,
    }
)
server = wsgi.Server(("127.0.0.1", 0), app)
server.prepare()
print(server.bind_addr[1], flush=True)


def end_with_the_tests():
    sys.stdin.read()
    shutil.rmtree(folder, ignore_errors=True)
    os._exit(0)


threading.Thread(target=end_with_the_tests, daemon=True).start()
server.serve()
