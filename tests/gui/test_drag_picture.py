"""What is painted while a mark is dragged."""

from PySide6.QtCore import QPointF
from window_hands import SAMPLES, move, press, release


def test_the_other_names_stay_while_a_mark_is_dragged(window, hands):
    """Only the name of the mark under the hand moves, and never onto another one."""
    hands.open(SAMPLES / "birch.png")
    desk, canvas = window.desk, window.canvas
    desk.set_tooth("21")
    desk.place("coronal_reference", None, (300.0, 700.0))
    desk.place("apex", "single", (300.0, 250.0))
    hands.settle()
    at = hands.at((300.0, 250.0))
    press(canvas, at)
    seen = []
    for step in range(1, 60):
        move(canvas, at + QPointF(0, 5.0 * step))
        named = [(item.key, rect) for item, _, rect, _ in canvas.overlay._around]
        seen.append(named)
        one = [i for i in canvas.overlay.items if i.key == ("apex", "single")]
        metrics = canvas.fontMetrics()
        own = canvas.overlay._laid_out(
            canvas.camera, canvas.size(), metrics, one, canvas.overlay._around
        )
        assert own and not any(own[0][2].intersects(rect) for _, rect in named)
    assert seen[0] and all(named == seen[0] for named in seen)
    release(canvas, at)
    hands.settle()
