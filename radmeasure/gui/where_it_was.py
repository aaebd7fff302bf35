"""What was looked at is there again when the case is opened next: part of the film and page."""

from PySide6.QtCore import QObject, QTimer

from radmeasure.gui.camera import Camera

REST_MS = 1500


class WhereItWas(QObject):
    """Keeps camera and page in the case once they rest, and puts them back."""

    def __init__(self, desk, canvas, leaves, parent=None):
        super().__init__(parent)
        self.desk, self.canvas, self.leaves = desk, canvas, leaves
        self._session = None
        self._back = {}  # film id -> camera, put back when the film is there
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self.keep)
        canvas.moved.connect(self._rest.start)
        leaves.tabs.currentChanged.connect(self._rest.start)
        desk.ending.connect(self.keep)
        desk.session_changed.connect(self._begin)

    def keep(self):
        """Write it down; without effect where the case is only looked at."""
        self._rest.stop()
        desk = self.desk
        if desk.session is None or desk.film_id is None:
            return
        cameras = dict(desk.session.remembered().get("cameras", {}))
        camera = self.canvas.camera
        own = None if self.canvas.follows_fit else [camera.zoom, camera.left, camera.top]
        if own != cameras.get(desk.film_id):
            cameras[desk.film_id] = own
            desk.remember("cameras", cameras)
        desk.remember("page", self.leaves.current)

    def _begin(self):
        if self.desk.session is self._session:
            return
        self._session = self.desk.session
        view = self.desk.session.remembered()
        self._back = {film: c for film, c in view.get("cameras", {}).items() if c}
        page = view.get("page")
        if page in self.leaves.listed:
            self.leaves.turn_to(page, focus=False)

    def put_back(self):
        """Look again at the part of the film that was seen when the case was closed."""
        camera = self._back.pop(self.desk.film_id, None)
        if camera is not None and self.desk.film is not None:
            self.canvas.follow(Camera(*camera))
