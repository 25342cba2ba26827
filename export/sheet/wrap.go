package sheet

import "reseat/export/picture"

// cut makes s one line of small letters no wider than w.
func cut(s string, w float64) string { return picture.Shorten(picture.Plain(s), small, w) }
