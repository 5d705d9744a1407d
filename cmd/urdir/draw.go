package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"urdir/check"
	"urdir/draw"
	"urdir/internal/lang"
	"urdir/measure"
	"urdir/plan"
	"urdir/surface"
)

// drawingSize is a picture's size on paper, and its width in pixels as PNG.
type drawingSize struct {
	W, H   measure.MM
	Pixels int
}

// drawingMargin is the paper left around a drawing.
const drawingMargin measure.MM = 4

// part is something of a plan that can be drawn by itself.
type part struct {
	name string
	keys func(plan.Plan) []string // which there are; nil where there is one
	size func(p planned) drawingSize
	draw func(s surface.Surface, box surface.Box, p plan.Plan, key string, w *lang.Words)
}

func fixed(w, h measure.MM) func(planned) drawingSize {
	return func(planned) drawingSize { return drawingSize{w, h, pictureWidth} }
}

// parts is everything that can be drawn.
var parts = []part{
	{"cloth", nil, clothSize, func(s surface.Surface, box surface.Box, p plan.Plan, _ string, _ *lang.Words) { draw.Cloth(s, box, p) }},
	{"detail", nil, fixed(160, 120), func(s surface.Surface, box surface.Box, p plan.Plan, _ string, _ *lang.Words) { draw.Lens(s, box, p) }},
	{"ruler", warpKeys, fixed(190, 42), func(s surface.Surface, box surface.Box, p plan.Plan, key string, w *lang.Words) {
		draw.Ruler(s, box, p, p.Warp(key), w)
	}},
	{"frame", framedKeys, fixed(180, 130), func(s surface.Surface, box surface.Box, p plan.Plan, key string, w *lang.Words) {
		draw.Frame(s, box, p.Warp(key), w)
	}},
	{"chart", figureKeys, fixed(180, 150), func(s surface.Surface, box surface.Box, p plan.Plan, key string, w *lang.Words) {
		draw.Chart(s, box, p, p.Figure(key), w)
	}},
	{"ties", tiedKeys, fixed(190, 110), func(s surface.Surface, box surface.Box, p plan.Plan, key string, w *lang.Words) {
		draw.Ties(s, box, p.Panels[slices.Index(panelKeys(p), key)], w)
	}},
	{"length", panelKeys, fixed(184, 240), func(s surface.Surface, box surface.Box, p plan.Plan, key string, w *lang.Words) {
		draw.Length(s, box, p, slices.Index(panelKeys(p), key), w)
	}},
}

func warpKeys(p plan.Plan) (keys []string) {
	for _, w := range p.Warps {
		keys = append(keys, w.Key)
	}
	return keys
}

func framedKeys(p plan.Plan) (keys []string) {
	for _, w := range p.Warps {
		if w.Path != nil {
			keys = append(keys, w.Key)
		}
	}
	return keys
}

func figureKeys(p plan.Plan) (keys []string) {
	for _, f := range p.Figures {
		keys = append(keys, f.Key)
	}
	return keys
}

func tiedKeys(p plan.Plan) (keys []string) {
	for _, pan := range p.Panels {
		if pan.Tied != nil {
			keys = append(keys, pan.Key)
		}
	}
	return keys
}

func panelKeys(p plan.Plan) (keys []string) {
	for _, pan := range p.Panels {
		keys = append(keys, pan.Key)
	}
	return keys
}

func newDrawCommand(a *app) *cobra.Command {
	w := a.words
	var out string
	c := &cobra.Command{
		Use:   "draw " + w.T("draw-args", nil),
		Short: w.T("draw-about", nil),
		Long:  w.T("draw-about-long", check.Args{"parts": partNames()}),
		Example: `  urdir draw camino.yaml cloth --out camino.png
  urdir draw camino.yaml chart:bird --out dibujo.svg
  urdir draw camino.yaml frame:body --out urdidor.pdf`,
		DisableFlagsInUseLine: true,
		Args:                  arguments(2, 2),
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 1 {
				return partNames(), cobra.ShellCompDirectiveNoFileComp
			}
			return nil, cobra.ShellCompDirectiveDefault
		},
		RunE: func(_ *cobra.Command, args []string) error { return a.draw(args[0], args[1], out) },
	}
	c.Flags().StringVarP(&out, "out", "o", "", w.T("draw-flag-out", nil))
	return c
}

func partNames() (names []string) {
	for _, d := range parts {
		names = append(names, d.name)
	}
	return names
}

func (a *app) draw(file, what, out string) error {
	ext := strings.ToLower(filepath.Ext(out))
	if !slices.Contains([]string{".png", ".svg", ".pdf"}, ext) {
		return mistake("--out", "picture-kind", check.Args{"text": out})
	}
	p, err := a.planFile(file)
	if err != nil {
		return err
	}
	d, key, err := findPart(p.plan, what)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	err = writeDrawing(&b, ext, p.plan.Name+": "+what, d.size(p), func(s surface.Surface, box surface.Box) { d.draw(s, box, p.plan, key, a.words) })
	if err != nil {
		return err
	}
	if err := os.WriteFile(out, b.Bytes(), 0o644); err != nil {
		return unwritable(out, err)
	}
	if a.json {
		return a.printJSON(map[string]any{"file": out, "problems": a.problems(p.found)})
	}
	fmt.Fprintln(a.out, out)
	a.tell(p.found)
	return nil
}

// findPart reads "chart:bird". Without a key the first one is meant.
func findPart(p plan.Plan, what string) (part, string, error) {
	name, key, keyed := strings.Cut(what, ":")
	i := slices.IndexFunc(parts, func(d part) bool { return d.name == name })
	if i < 0 {
		return part{}, "", mistake("", "part-unknown", check.Args{"text": what, "known": partNames()})
	}
	d := parts[i]
	if d.keys == nil {
		if keyed {
			return d, "", mistake("", "part-one", check.Args{"part": name})
		}
		return d, "", nil
	}
	keys := d.keys(p)
	switch {
	case len(keys) == 0:
		return d, "", mistake("", "part-none", check.Args{"part": name})
	case !keyed:
		return d, keys[0], nil
	case !slices.Contains(keys, key):
		return d, "", mistake("", "part-key", check.Args{"part": name, "text": key, "known": keys})
	}
	return d, key, nil
}

// writeDrawing draws once, as PNG, SVG or PDF.
func writeDrawing(w io.Writer, ext, title string, size drawingSize, paint func(surface.Surface, surface.Box)) error {
	whole := surface.Box{W: size.W, H: size.H}
	var to interface {
		surface.Surface
		io.WriterTo
	}
	switch ext {
	case ".svg":
		to = surface.NewSVG(size.W, size.H, title)
	case ".pdf":
		doc := surface.NewPDF(surface.Meta{Title: title})
		doc.AddPage(size.W, size.H)
		to = doc
	default:
		to = surface.NewPNG(size.W, size.H, size.Pixels)
	}
	to.Rect(whole, draw.Paper)
	paint(to, whole.Inset(drawingMargin))
	_, err := to.WriteTo(w)
	return err
}
