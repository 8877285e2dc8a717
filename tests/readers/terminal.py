"""Sits at a terminal: waits for each text in turn, types an answer, and gives the exit code.

Arguments: a JSON list of [wait for, then type] pairs, then the command and its arguments.
What the terminal showed, without colours and cursor movements, goes to stdout; with KEEP_MOVES
in the environment they are left in. SIZE, such as 24x80, gives it so many rows and columns.
"""

import json
import os
import fcntl
import pty
import re
import select
import struct
import sys
import termios
import time

MOVES = re.compile(r"\x1b\[[0-9;?]*[A-Za-z]|\x1b[78=>]|\r")
LONGEST_WAIT = 20.0


def main() -> int:
    dialogue, command = json.loads(sys.argv[1]), sys.argv[2:]
    child, terminal = pty.fork()
    if child == 0:
        if size := os.environ.pop("SIZE", None):
            rows, columns = map(int, size.split("x"))
            fcntl.ioctl(0, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        os.execvp(command[0], command)
    shown = ""
    unread = ""

    def read(seconds: float) -> bool:
        nonlocal shown, unread
        ready, _, _ = select.select([terminal], [], [], seconds)
        if not ready:
            return True
        try:
            block = os.read(terminal, 65536)
        except OSError:
            return False
        text = block.decode("utf-8", "replace")
        plain = MOVES.sub("", text)
        shown += text if "KEEP_MOVES" in os.environ else plain
        text = plain
        unread += text
        return bool(block)

    for wait_for, answer in dialogue:
        until = time.monotonic() + LONGEST_WAIT
        while wait_for not in unread:
            if time.monotonic() > until or not read(0.2):
                print(shown)
                print(f"-- never asked: {wait_for}")
                os.close(terminal)
                return 99
        unread = unread[unread.index(wait_for) + len(wait_for):]
        os.write(terminal, answer.encode())
    until = time.monotonic() + LONGEST_WAIT
    while read(0.2):
        if time.monotonic() > until:
            print(shown)
            print("-- still waiting for an answer")
            os.close(terminal)
            return 97
    _, status = os.waitpid(child, 0)
    line_by_line = termios.ICANON | termios.ECHO | termios.ISIG
    if termios.tcgetattr(terminal)[3] & line_by_line != line_by_line:
        print("-- the terminal was left raw")
        return 98
    print(shown)
    return os.waitstatus_to_exitcode(status)


sys.exit(main())
