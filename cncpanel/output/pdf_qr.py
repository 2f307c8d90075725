"""A text as the modules of a QR code (ISO/IEC 18004), encoded by reportlab."""

from reportlab.graphics.barcode.qrencoder import QRCode, QRErrorCorrectLevel

Modules = tuple[tuple[bool, ...], ...]


def qr_modules(text: str) -> Modules:
    """Rows from the top, True where dark, without the quiet zone; error correction M (15 %) for a dusty workshop.

    Raises ValueError where the text is too long for a code that a label holds.
    """
    if len(text.encode()) > LONGEST:
        raise ValueError(f"a text of {len(text)} characters is too long for a label's code (at most {LONGEST})")
    code = QRCode(None, QRErrorCorrectLevel.M)
    code.addData(text)
    code.make()
    side = range(code.getModuleCount())
    return tuple(tuple(bool(code.isDark(row, column)) for column in side) for row in side)


LONGEST = 120  # bytes; version 7, 45 modules a side
