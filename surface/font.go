package surface

import (
	"strings"

	"urdir/measure"
)

// TextWidth is how wide a text is, on every surface.
func TextWidth(s string, f Font) measure.MM {
	w := 0.0
	for _, r := range clean(s) {
		w += advance(r, f.Bold)
	}
	return measure.MM(w) * f.Size
}

// Wrap breaks a text into lines no wider than width. A word that is wider
// stands alone on its line.
func Wrap(s string, f Font, width measure.MM) []string {
	var lines []string
	line := ""
	for word := range strings.FieldsSeq(s) {
		next := word
		if line != "" {
			next = line + " " + word
		}
		if line != "" && TextWidth(next, f) > width {
			lines = append(lines, line)
			next = word
		}
		line = next
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// Shorten cuts a text and ends it with an ellipsis where it is wider than width.
func Shorten(s string, f Font, width measure.MM) string {
	if TextWidth(s, f) <= width {
		return s
	}
	letters := []rune(composed(s))
	for len(letters) > 0 {
		letters = letters[:len(letters)-1]
		cut := strings.TrimRight(string(letters), " ") + "…"
		if TextWidth(cut, f) <= width {
			return cut
		}
	}
	return ""
}

// Fit makes a font smaller until a text is no wider than width, down to half
// its size.
func Fit(s string, f Font, width measure.MM) Font {
	if w := TextWidth(s, f); w > width && w > 0 {
		f.Size = max(f.Size/2, f.Size*width/w)
	}
	return f
}

// origin moves a text's point to its left end.
func origin(x, y measure.MM, s string, f Font) (measure.MM, measure.MM) {
	shift := measure.MM(0)
	switch f.Align {
	case Centre:
		shift = TextWidth(s, f) / 2
	case Right:
		shift = TextWidth(s, f)
	}
	if f.Up {
		return x, y + shift
	}
	return x - shift, y
}
