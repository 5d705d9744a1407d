package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"unicode"

	"urdir/check"
	"urdir/dye"
	"urdir/measure"
	"urdir/sheet"
)

// dyerOptions reads how the dyer's sheet is wanted.
func (a *app) dyerOptions(f dyeFlags) (sheet.DyerOptions, stopped) {
	kitchen, found := kitchenMeasures(f.measures)
	size, ok := papers[f.paper]
	if !ok {
		args := check.Args{"text": f.paper, "known": []string{"a4", "letter"}}
		found = append(found, located{File: "--paper", Problem: check.Problem{Code: "paper-unknown", Args: args}})
	}
	return sheet.DyerOptions{Options: sheet.Options{Language: a.words.Tag, Paper: size}, Measures: kitchen}, found
}

// kitchenMeasures reads "alum=12 g cuchara" for each measure of the workshop: what it
// measures, what one holds, and its name.
func kitchenMeasures(texts []string) (map[string]sheet.Kitchen, stopped) {
	out := map[string]sheet.Kitchen{}
	var found stopped
	for _, text := range texts {
		what, rest, ok := strings.Cut(text, "=")
		quantity, name := cutQuantity(rest)
		if !ok || name == "" {
			found = append(found, located{File: "--measure", Problem: check.Problem{Code: "dye-measure", Args: check.Args{"text": text}}})
			continue
		}
		k := sheet.Kitchen{Name: name}
		var err error
		if strings.HasSuffix(strings.ToLower(quantity), "l") {
			k.Volume, err = measure.ParseLitres(quantity)
		} else {
			k.Mass, err = measure.ParseMass(quantity)
		}
		found = append(found, unread("--measure", err)...)
		out[strings.TrimSpace(what)] = k
	}
	return out, found
}

// cutQuantity divides "12 g cuchara" after the unit.
func cutQuantity(s string) (quantity, name string) {
	parts := strings.Fields(s)
	if len(parts) == 0 {
		return "", ""
	}
	n := 1
	if !strings.ContainsFunc(parts[0], unicode.IsLetter) {
		n = min(2, len(parts))
	}
	return strings.Join(parts[:n], " "), strings.Join(parts[n:], " ")
}

// writeDyer writes the dyer's sheet as a document and as pictures. All of it is
// made before the first file is written.
func writeDyer(dir string, b dye.Batch, o sheet.DyerOptions) error {
	var doc bytes.Buffer
	if err := sheet.Dyer(&doc, b, o); err != nil {
		return fmt.Errorf("the dyer's sheet: %w", err)
	}
	files := map[string][]byte{"dyer.pdf": doc.Bytes()}
	names := []string{"dyer.pdf"}
	err := sheet.DyerPictures(b, o, func(p sheet.Page) error {
		var picture bytes.Buffer
		_, err := p.PNG.WriteTo(&picture)
		names = append(names, p.Name+".png")
		files[p.Name+".png"] = picture.Bytes()
		return err
	})
	if err != nil {
		return fmt.Errorf("the dyer's sheet as pictures: %w", err)
	}
	err = os.MkdirAll(dir, 0o755)
	for _, name := range names {
		err = errors.Join(err, os.WriteFile(filepath.Join(dir, name), files[name], 0o644))
	}
	if err != nil {
		return unwritable(dir, err)
	}
	return nil
}
