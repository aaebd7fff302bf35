"""The clinician's window, in a process that will be killed: says what was acknowledged.

Opens the film named last, places what is read from standard input line by line
(``name x y``), and answers each line once the window shows it. Then it hangs in the
middle of a drag until it is killed.
"""

import sys
from pathlib import Path

from PySide6.QtCore import QEventLoop, QSettings, QTimer

from radmeasure.gui.app import FirstPaint, application
from radmeasure.gui.camera import Camera
from radmeasure.gui.window import Window
from radmeasure.workflow.session import Session


def wait(ms):
    loop = QEventLoop()
    QTimer.singleShot(ms, loop.quit)
    loop.exec()


def main(settings, case, film):
    application()
    stored = QSettings(settings, QSettings.Format.IniFormat)
    stored.setValue("cautions_read", "yes")
    window = Window(Session.create(Path(case)), stored)
    FirstPaint(window, window.after_first_paint)
    window.resize(1366, 768)
    window.show()
    window.suggesting.automatic = False
    window.opening.open([film])
    while window.opening.busy or window.desk.rulebook is None:
        wait(20)
    desk = window.desk
    desk.set_tooth("11")
    desk.set_job("post plan")
    window.leaves.turn_to("entries", focus=False)
    window.canvas.set_camera(Camera(1.5, 40.0, 60.0))
    wait(2000)  # long enough to rest
    while window.background.busy:  # and until it is written, which is done beside
        wait(20)
    print("ready", flush=True)
    for line in sys.stdin:
        name, x, y = line.split()
        root = "single" if name == "apex" else None
        desk.place(name, root, (float(x), float(y)))
        print("ack", name, flush=True)
    desk.drag("apex", "single", (1.0, 2.0))
    print("dragging", flush=True)
    wait(60000)


main(*sys.argv[1:])
