package web_test

import (
	"html/template"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

func readLook(t *testing.T, path ...string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(path...))
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

var (
	block = regexp.MustCompile(`(:root[^,{}]*)\{([^{}]*)\}`)
	token = regexp.MustCompile(`(--[a-z-]+):\s*(#[0-9a-f]{6})\b`)
	pair  = regexp.MustCompile("(?m)^\\| `(--[a-z-]+)` \\| `(--[a-z-]+)` \\| (text|mark) \\| ([0-9.]+) \\| ([0-9.]+) \\|")
	named = regexp.MustCompile("(?m)^\\| `(--[a-z-]+)` \\| `(#[0-9a-f]{6})` \\| `(#[0-9a-f]{6})` \\|")
	ref   = regexp.MustCompile(`url\("?([^")]+)"?\)`)
)

// colours are the custom properties of the rule with this selector that are
// written as #rrggbb; of several such rules, the first with any.
func colours(css, selector string) map[string]string {
	for _, b := range block.FindAllStringSubmatch(css, -1) {
		if strings.TrimSpace(b[1]) != selector {
			continue
		}
		got := map[string]string{}
		for _, c := range token.FindAllStringSubmatch(b[2], -1) {
			got[c[1]] = c[2]
		}
		if len(got) > 0 {
			return got
		}
	}
	return nil
}

// luminance is the relative luminance of #rrggbb as WCAG 2.2 defines it.
func luminance(hex string) float64 {
	n, err := strconv.ParseUint(strings.TrimPrefix(hex, "#"), 16, 24)
	if err != nil {
		return math.NaN()
	}
	linear := func(c uint64) float64 {
		v := float64(c&255) / 255
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(n>>16) + 0.7152*linear(n>>8) + 0.0722*linear(n)
}

// contrast is the contrast ratio as WCAG 2.2 defines it, from 1 to 21.
func contrast(a, b string) float64 {
	la, lb := luminance(a), luminance(b)
	return (max(la, lb) + 0.05) / (min(la, lb) + 0.05)
}

// WCAG 2.2, "contrast ratio": 21 to 1 for black on white, 1 to 1 for a colour
// on itself. For #808080 by hand from the same definition: ((128/255 + 0.055)
// / 1.055)^2.4 = 0.2159, and 1.05 / 0.2659 = 3.95.
func TestContrastIsTheStandards(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want float64
	}{
		{a: "#000000", b: "#ffffff", want: 21},
		{a: "#9c2340", b: "#9c2340", want: 1},
		{a: "#808080", b: "#ffffff", want: 3.95},
	} {
		if got := contrast(c.a, c.b); math.Abs(got-c.want) > 0.005 {
			t.Errorf("contrast of %s on %s: got %.3f, want %.2f", c.a, c.b, got, c.want)
		}
	}
}

// WCAG 2.2, 1.4.3: text has at least 4.5 to 1; 1.4.11: marks and edges that
// carry meaning at least 3 to 1. The page of the look says what each pair has;
// that must be so by day and by night.
func TestColourPairsCanBeRead(t *testing.T) {
	css := readLook(t, "static", "urdir.css")
	day := colours(css, ":root")
	night := colours(css, `:root[data-theme="dark"]`)
	if asked := colours(css, `:root:not([data-theme="light"])`); len(night) == 0 || !maps.Equal(asked, night) {
		t.Errorf("night colours differ between the device's wish and the person's choice:\n%v\n%v", asked, night)
	}
	for name := range day {
		if _, ok := night[name]; !ok {
			t.Errorf("%s has no night colour", name)
		}
	}
	look := readLook(t, "..", "..", "docs", "look.md")
	light, dark := map[string]string{}, map[string]string{}
	for _, m := range named.FindAllStringSubmatch(look, -1) {
		light[m[1]], dark[m[1]] = m[2], m[3]
	}
	if !maps.Equal(light, day) || !maps.Equal(dark, night) {
		t.Errorf("docs/look.md and urdir.css name other colours:\n%v\n%v\n%v\n%v", light, day, dark, night)
	}
	least := map[string]float64{"text": 4.5, "mark": 3}
	shown := map[string]bool{}
	for _, m := range pair.FindAllStringSubmatch(look, -1) {
		front, back, kind := m[1], m[2], m[3]
		shown[front] = true
		for i, side := range []map[string]string{day, night} {
			theme, want := []string{"light", "dark"}[i], m[4+i]
			got := contrast(side[front], side[back])
			if text := strconv.FormatFloat(got, 'f', 2, 64); text != want {
				t.Errorf("%s on %s, %s: got %s, docs/look.md says %s", front, back, theme, text, want)
			}
			if !(got >= least[kind]) {
				t.Errorf("%s on %s, %s: got %.2f, want at least %.1f for %s", front, back, theme, got, least[kind], kind)
			}
		}
	}
	for _, name := range []string{"--ink", "--soft", "--line", "--indigo", "--cochineal", "--marigold", "--moss", "--on-dye"} {
		if !shown[name] {
			t.Errorf("docs/look.md shows no pair with %s in front", name)
		}
	}
}

// Pages may take styles, fonts and pictures from their own server only, and a
// phone on a slow line must not wait for a font.
func TestStylesNeedNobodyElse(t *testing.T) {
	css := readLook(t, "static", "urdir.css")
	refs := ref.FindAllStringSubmatch(css, -1)
	if len(refs) == 0 {
		t.Fatal("no file named in urdir.css")
	}
	for _, m := range refs {
		info, err := os.Stat(filepath.Join("static", m[1]))
		if err != nil {
			t.Errorf("urdir.css names %s: %v", m[1], err)
			continue
		}
		if info.Size() > 60_000 {
			t.Errorf("%s: got %d bytes, want at most 60000", m[1], info.Size())
		}
	}
	for _, m := range regexp.MustCompile(`var\((--[a-z0-9-]+)`).FindAllStringSubmatch(css, -1) {
		if !strings.Contains(css, m[1]+":") {
			t.Errorf("urdir.css uses %s and never sets it", m[1])
		}
	}
	page := readLook(t, "templates", "look.html")
	if _, err := template.New("look").Parse(page); err != nil {
		t.Error(err)
	}
	if m := regexp.MustCompile(`\sstyle=|<style|<script|\son[a-z]+=`).FindString(page); m != "" {
		t.Errorf("look.html has %q, which the pages' own policy would refuse", m)
	}
	for _, m := range regexp.MustCompile(`class="([^"]+)"`).FindAllStringSubmatch(page, -1) {
		for class := range strings.FieldsSeq(m[1]) {
			if !regexp.MustCompile(`\.`+class+`\b`).MatchString(css) && class != "error" && class != "loose" {
				t.Errorf("look.html shows class %q, which urdir.css does not know", class)
			}
		}
	}
}
