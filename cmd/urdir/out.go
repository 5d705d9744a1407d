package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"

	"urdir/check"
	"urdir/draw"
	"urdir/measure"
	"urdir/sheet"
	"urdir/surface"
)

// Sizes of the picture of a whole cloth.
const (
	pictureWidth  = 1600 // pixels
	pictureHeight = 1200
	pictureMM     = 160 // mm of the picture's width: decides how fine its lines are
)

// writeOut writes the plan, its sheets and its pictures. All of it is first
// written beside the folder and only then moved in, file by file, so that
// whatever stops the planning or the drawing leaves the folder as it was.
func (a *app) writeOut(dir string, p planned, o sheet.Options) error {
	if err := os.MkdirAll(filepath.Dir(filepath.Clean(dir)), 0o755); err != nil {
		return unwritable(dir, err)
	}
	made, err := os.MkdirTemp(filepath.Dir(filepath.Clean(dir)), ".urdir-")
	if err != nil {
		return unwritable(dir, err)
	}
	defer func() { _ = os.RemoveAll(made) }() // what is left of it is nothing anyone needs
	if err := os.Mkdir(filepath.Join(made, "pages"), 0o755); err != nil {
		return unwritable(dir, err)
	}
	w := writing{app: a, dir: made, shown: dir}
	w.file("plan.json", func(f io.Writer) error {
		b, err := marshal(a.planJSON(p))
		if err == nil {
			_, err = f.Write(b)
		}
		return err
	})
	w.file("sheets.pdf", func(f io.Writer) error { return sheet.PDF(f, p.plan, o) })
	w.picture("cloth.png", p)
	w.picture("cloth.svg", p)
	if w.err == nil {
		w.err = sheet.Pictures(p.plan, o, func(page sheet.Page) error {
			w.file(filepath.Join("pages", page.Name+".png"), func(f io.Writer) error {
				_, err := page.PNG.WriteTo(f)
				return err
			})
			return w.err
		})
	}
	if w.err != nil {
		return unwritable(dir, w.err)
	}
	if err := moveIn(made, dir, w.files); err != nil {
		return unwritable(dir, err)
	}
	fmt.Fprintln(a.out, a.words.N("plan-written", len(w.files), check.Args{"dir": dir}))
	return nil
}

// writing writes files one after the other and says so; after an error it does
// nothing more.
type writing struct {
	app        *app
	dir, shown string
	files      []string
	err        error
}

func (w *writing) file(name string, write func(io.Writer) error) {
	if w.err != nil {
		return
	}
	var b bytes.Buffer
	if w.err = write(&b); w.err != nil {
		return
	}
	if w.err = os.WriteFile(filepath.Join(w.dir, name), b.Bytes(), 0o644); w.err != nil {
		return
	}
	w.files = append(w.files, name)
	fmt.Fprintf(w.app.errOut, "  %s\n", filepath.Join(w.shown, name))
}

// picture draws the whole cloth in the format its name ends in.
func (w *writing) picture(name string, p planned) {
	w.file(name, func(f io.Writer) error {
		return writeDrawing(f, filepath.Ext(name), p.plan.Name, clothSize(p), func(s surface.Surface, box surface.Box) {
			draw.Cloth(s, box, p.plan)
		})
	})
}

// clothSize is paper that a cloth fills but for a margin, within the usual
// picture.
func clothSize(p planned) drawingSize {
	const high = pictureMM * pictureHeight / pictureWidth
	aspect := measure.MM(draw.Aspect(p.plan))
	w, h := measure.MM(pictureMM-2*drawingMargin), measure.MM(high-2*drawingMargin)
	if w > h*aspect {
		w = max(h*aspect, 12)
	} else {
		h = max(w/aspect, 12)
	}
	size := drawingSize{W: w + 2*drawingMargin, H: h + 2*drawingMargin}
	size.Pixels = int(float64(size.W) / pictureMM * pictureWidth)
	return size
}

// pageName is a page as an earlier run wrote it.
var pageName = regexp.MustCompile(`^\d+-[a-z0-9-]+\.png$`)

// moveIn moves finished files into a folder and takes away pages that an
// earlier plan had more of.
func moveIn(from, to string, files []string) error {
	if err := os.MkdirAll(filepath.Join(to, "pages"), 0o755); err != nil {
		return err
	}
	for _, name := range files {
		if err := os.Rename(filepath.Join(from, name), filepath.Join(to, name)); err != nil {
			return err
		}
	}
	old, err := os.ReadDir(filepath.Join(to, "pages"))
	if err != nil {
		return err
	}
	for _, e := range old {
		name := filepath.Join("pages", e.Name())
		if pageName.MatchString(e.Name()) && !slices.Contains(files, name) {
			if err := os.Remove(filepath.Join(to, name)); err != nil {
				return err
			}
		}
	}
	return nil
}

func unwritable(name string, err error) error {
	return mistake("--out", "file-unwritable", check.Args{"file": name, "reason": err.Error()})
}
