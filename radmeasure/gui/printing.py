"""Prints what is on the desk: the film with its marks, then the record. The PDF says more."""

from html import escape

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QPainter, QTextDocument

from radmeasure.gui.camera import fitted
from radmeasure.gui.picture import Picture
from radmeasure.reports.words import CAUTIONS, record, translated

PX_PER_MM = 5.2  # the page is laid out in these; the printer's dots are scaled to them
TEXT_PX = 17  # 9 points on any paper


def print_dialog(window):
    """The system's dialog; it does not stop the work."""
    from PySide6.QtPrintSupport import QPrintDialog, QPrinter

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    dialog = QPrintDialog(printer, window)
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    dialog.accepted.connect(lambda: print_page(window, printer))
    dialog.open()


def print_page(window, printer):
    """Film on the first page, record on the next ones."""
    from PySide6.QtPrintSupport import QPrinter

    painter = QPainter(printer)
    try:
        dots = QRectF(painter.viewport()).size()
        size = printer.pageRect(QPrinter.Unit.Millimeter).size() * PX_PER_MM
        painter.scale(dots.width() / size.width(), dots.height() / size.height())
        painter.setFont(_font(window))
        _film(painter, window, QRectF(QPointF(0, 0), size))
        for part in _pages(window, size):
            printer.newPage()
            part(painter)
    finally:
        painter.end()


def _font(window):
    """The window's font in units of the page: points would follow the printer's dots."""
    font = QFont(window.font())
    font.setPixelSize(TEXT_PX)
    return font


def _film(painter, window, page):
    desk, canvas = window.desk, window.canvas
    room = page.adjusted(0, 60, 0, -20)
    camera = fitted(desk.turned.size, (room.width(), room.height()))
    painter.drawText(QRectF(0, 0, page.width(), 50), Qt.AlignmentFlag.AlignLeft, _heading(desk))
    painter.save()
    painter.translate(room.topLeft())
    painter.setClipRect(QRectF(0, 0, room.width(), room.height()))
    picture = Picture(canvas.picture.levels[0], canvas.grey.rgb())
    size = (round(room.width()), round(room.height()))
    picture.draw(painter, camera.zoom, camera.left, camera.top, *size)
    canvas.overlay.draw(painter, camera, room.size().toSize(), None)
    painter.restore()


def _heading(desk):
    parts = [desk.case.label, desk.tooth, desk.entry.name if desk.entry else ""]
    return " · ".join(p for p in parts if p)


def _pages(window, size):
    """One function per page of the record; each draws its page."""
    document = QTextDocument()
    document.setDefaultFont(_font(window))
    document.setDefaultStyleSheet("p { margin: 3px 0 } h3 { margin: 9px 0 2px 0 }")
    document.setHtml(_html(window.desk))
    document.setPageSize(size)
    height = size.height()

    def drawn(number):
        def draw(painter):
            painter.save()
            painter.translate(0, -number * height)
            document.drawContents(painter, QRectF(0, number * height, size.width(), height))
            painter.restore()

        return draw

    return [drawn(n) for n in range(document.pageCount())]


def _html(desk):
    parts = ['<body style="color:#000000">']
    if desk.evaluation is not None:
        for paragraph in record(desk.evaluation, desk.job.id):
            parts.append(f"<h3>{escape(paragraph.title)}</h3>")
            for sentence in paragraph.sentences:
                text = "".join(
                    f"<b>{escape(words)}</b>" if strong else escape(words)
                    for words, strong in sentence.parts
                )
                parts.append(f"<p>{text}</p>")
    parts.append("<hr>")
    cautions = " ".join(translated(c) for c in CAUTIONS)
    parts.append(f"<p><small>{escape(cautions)}</small></p>")
    return "".join([*parts, "</body>"])
