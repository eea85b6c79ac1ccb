"""Where a picture lies in a window, as plain numbers.

Frame *picture*: continuous coordinates with (0, 0) at the outer corner of the top left pixel, in picture units (photo
px, or mm where two photos share a scale). Frame *photo*: as in `terms.marks`, centre of the top left pixel (0, 0).
Frame *screen*: logical pixels of the widget, origin at its top left corner. All have x right and y down.
"""

from __future__ import annotations

from dataclasses import dataclass

MAT = 10.0  # neutral grey kept round the picture when it is fitted
LARGEST = 32.0  # screen px per photo px


@dataclass(frozen=True, slots=True)
class ViewFrame:
    """`scale` is screen px per picture unit; `left`, `top` the screen place of the picture's corner."""

    scale: float
    left: float
    top: float

    def to_screen(self, u: float, v: float) -> tuple[float, float]:
        return self.left + u * self.scale, self.top + v * self.scale

    def to_picture(self, x: float, y: float) -> tuple[float, float]:
        return (x - self.left) / self.scale, (y - self.top) / self.scale

    def photo_to_screen(self, x: float, y: float) -> tuple[float, float]:
        """Screen place of a point in frame photo (its whole numbers are pixel centres)."""
        return self.to_screen(x + 0.5, y + 0.5)

    def screen_to_photo(self, x: float, y: float) -> tuple[float, float]:
        u, v = self.to_picture(x, y)
        return u - 0.5, v - 0.5

    def moved(self, dx: float, dy: float) -> ViewFrame:
        return ViewFrame(self.scale, self.left + dx, self.top + dy)

    def zoomed(self, factor: float, about: tuple[float, float]) -> ViewFrame:
        """Scaled so that the picture under the screen point `about` stays there."""
        x, y = about
        return ViewFrame(self.scale * factor, x - (x - self.left) * factor, y - (y - self.top) * factor)

    def centred_on(self, u: float, v: float, room: tuple[float, float]) -> ViewFrame:
        return ViewFrame(self.scale, room[0] / 2 - u * self.scale, room[1] / 2 - v * self.scale)


def fitted(size: tuple[float, float], room: tuple[float, float], mat: float = MAT) -> ViewFrame:
    """The whole picture of `size`, as large as `room` allows with the mat round it, centred."""
    wide, high = max(room[0] - 2 * mat, 1.0), max(room[1] - 2 * mat, 1.0)
    scale = min(wide / size[0], high / size[1])
    return ViewFrame(scale, (room[0] - size[0] * scale) / 2, (room[1] - size[1] * scale) / 2)


def bounded(frame: ViewFrame, size: tuple[float, float], room: tuple[float, float]) -> ViewFrame:
    """The frame with its scale between half of fitted and `LARGEST`, and the room's middle kept on the picture."""
    least = fitted(size, room).scale / 2
    middle = (room[0] / 2, room[1] / 2)
    scale = min(max(frame.scale, least), max(LARGEST, least))
    if scale != frame.scale:
        frame = frame.zoomed(scale / frame.scale, middle)
    left = min(max(frame.left, middle[0] - size[0] * scale), middle[0])
    top = min(max(frame.top, middle[1] - size[1] * scale), middle[1])
    return ViewFrame(scale, left, top)


def revealing(frame: ViewFrame, at: tuple[float, float], room: tuple[float, float], edge: float = 60.0) -> ViewFrame:
    """The frame moved just so far that the screen point `at` lies `edge` px or more inside the room."""
    edge_x, edge_y = min(edge, room[0] / 3), min(edge, room[1] / 3)
    dx = max(edge_x - at[0], 0.0) + min(room[0] - edge_x - at[0], 0.0)
    dy = max(edge_y - at[1], 0.0) + min(room[1] - edge_y - at[1], 0.0)
    return frame.moved(dx, dy) if dx or dy else frame
