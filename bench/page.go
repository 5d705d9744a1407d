package main

import (
	_ "embed"
	"fmt"
	"os"
	"path/filepath"
	"strings"
)

//go:embed notes.md
var notes string

// write makes the page and its pictures.
func write(page string, f figures) error {
	var s strings.Builder
	fmt.Fprintf(&s, "# Speed\n\nWritten by `make bench`. %s. The figures are those of one run; what was not measured in it is left out.\n", f.machine)
	for _, t := range tables {
		t.write(&s, f)
	}
	pictures := filepath.Join(filepath.Dir(page), "pictures")
	if err := os.MkdirAll(pictures, 0o755); err != nil {
		return err
	}
	for _, c := range curves {
		svg, ok := c.draw(f)
		if !ok {
			continue
		}
		if err := os.WriteFile(filepath.Join(pictures, c.file), []byte(svg), 0o644); err != nil {
			return err
		}
		fmt.Fprintf(&s, "\n## %s\n\n![%s](pictures/%s)\n", c.title, c.says(f), c.file)
	}
	s.WriteString("\n" + notes)
	return os.WriteFile(page, []byte(s.String()), 0o644)
}

// table is a part of the page.
type table struct {
	title string
	rows  []row
}

// row is one figure and what it is held against.
type row struct {
	what    string
	key     string  // package Benchmark unit
	scale   float64 // to the unit shown; zero: 1
	unit    string
	aim     float64 // in the unit shown; zero: none
	atLeast bool    // the aim is the least, not the most
	within  float64 // the aim is the other figure and so much of it more
	against string  // what limit or rival
	other   string  // its key
	per     float64 // so many of the other are one of this; zero: 1
}

func (t table) write(s *strings.Builder, f figures) {
	var lines []string
	for _, r := range t.rows {
		if line, ok := r.line(f); ok {
			lines = append(lines, line)
		}
	}
	if len(lines) > 0 {
		fmt.Fprintf(s, "\n## %s\n\n| what | measured | aim | beside | that is |\n|---|---|---|---|---|\n%s\n", t.title, strings.Join(lines, "\n"))
	}
}

func (r row) line(f figures) (string, bool) {
	v, ok := f.of(r.key)
	if !ok {
		return "", false
	}
	scale := r.scale
	if scale == 0 {
		scale = 1
	}
	v *= scale
	aim := ""
	if r.aim != 0 {
		aim = "at most " + short(r.aim) + r.unit
		met := v <= r.aim
		if r.atLeast {
			aim, met = "at least "+short(r.aim)+r.unit, v >= r.aim
		}
		if !met {
			aim += " (**missed**)"
		}
	}
	beside, ratio := "", ""
	if o, ok := f.of(r.other); ok && r.other != "" {
		if r.per != 0 {
			o *= r.per
		}
		o *= scale
		beside = fmt.Sprintf("%s: %s%s", r.against, short(o), r.unit)
		if o != 0 {
			ratio = short(v/o) + " of it"
		}
		if r.within != 0 {
			aim = fmt.Sprintf("%g %% over it", 100*r.within)
			ratio = fmt.Sprintf("%.0f %% over it", 100*(v/o-1))
			if v > o*(1+r.within) {
				aim += " (**missed**)"
			}
		}
	}
	return fmt.Sprintf("| %s | %s%s | %s | %s | %s |", r.what, short(v), r.unit, aim, beside, ratio), true
}

// short writes a figure with as many digits as mean something.
func short(v float64) string {
	switch {
	case v == 0 || v >= 100:
		return fmt.Sprintf("%.0f", v)
	case v >= 10:
		return strings.TrimSuffix(fmt.Sprintf("%.1f", v), ".0")
	}
	return strings.TrimSuffix(fmt.Sprintf("%.2g", v), ".0")
}
