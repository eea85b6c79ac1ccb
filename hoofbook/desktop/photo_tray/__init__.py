"""Photo tray: photos in, each sorted to foot, view, moment and visit."""
