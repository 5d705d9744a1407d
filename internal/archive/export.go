package archive

import (
	"archive/zip"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"urdir/check"
	"urdir/internal/store"
)

const (
	exportFormat = "urdir-export"
	schemaName   = "schema.json"
	tablesFolder = "tables/"
	filesFolder  = "files/"
)

// ExportOptions says what goes out.
type ExportOptions struct {
	Workshop string // its id; empty: all
	Accounts bool   // with hashes of passphrases and keys
}

// manifest says what an export holds, so that nothing can be missing from it
// unnoticed. It says nothing of when and where: the same rows give the same file.
type manifest struct {
	Format    string                `json:"format"`
	Version   int                   `json:"version"`
	Schema    int64                 `json:"schema"`
	Accounts  bool                  `json:"accounts"`
	Workshops []workshopEntry       `json:"workshops"`
	Tables    map[string]tableTally `json:"tables"`
}

// tableTally is how many rows a table has, and what the numbers of columns that
// may be added up come to.
type tableTally struct {
	Rows int64            `json:"rows"`
	Sums map[string]int64 `json:"sums,omitempty"`
}

// Export writes one workshop or all into a new zip in open formats.
func Export(ctx context.Context, db *store.DB, file string, o ExportOptions) (Report, error) {
	if err := vacant(file); err != nil {
		return Report{}, err
	}
	dir, err := os.MkdirTemp(filepath.Dir(file), partPrefix)
	if err != nil {
		return Report{}, unwritable(file, err)
	}
	defer func() { _ = os.RemoveAll(dir) }() // the file is out of it by then
	e := exporter{o: o, m: manifest{Format: exportFormat, Version: formatNumber, Accounts: o.Accounts, Tables: map[string]tableTally{}}}
	if e.m.Schema, err = db.Version(ctx); err != nil {
		return Report{}, err
	}
	part := filepath.Join(dir, "zip")
	err = db.Read(ctx, func(r *store.Reader) error {
		e.r = r
		if err = e.choose(); err != nil {
			return err
		}
		return writeZip(part, e.write)
	})
	if err == nil {
		err = place(part, file)
	}
	report := backupManifest{Workshops: e.m.Workshops}.report(file)
	return report, unwritable(file, err)
}

// exporter writes one export.
type exporter struct {
	o ExportOptions
	m manifest
	r *store.Reader
	z *zip.Writer
}

// choose settles which workshops go out.
func (e *exporter) choose() error {
	all, err := e.r.Workshops()
	for _, w := range all {
		if e.o.Workshop == "" || w.ID == e.o.Workshop {
			e.m.Workshops = append(e.m.Workshops, workshopEntry(w))
		}
	}
	if err == nil && len(e.m.Workshops) == 0 && e.o.Workshop != "" {
		return fault("--workshop", "workshop-unknown", check.Args{"text": e.o.Workshop})
	}
	return err
}

func (e *exporter) write(z *zip.Writer) error {
	e.z = z
	for name, text := range dictionaries() {
		if err := e.add(name, []byte(text)); err != nil {
			return err
		}
	}
	if err := addJSON(z, schemaName, schema(e.o.Accounts)); err != nil {
		return err
	}
	bodies, err := e.files()
	if err != nil {
		return err
	}
	for _, t := range store.Tables {
		for _, form := range []writer{&jsonLines{}, &csvLines{}} {
			if err := e.table(t, form, bodies); err != nil {
				return fmt.Errorf("%s: %w", t.Name, err)
			}
		}
	}
	return addJSON(z, manifestName, e.m)
}

func (e *exporter) add(name string, body []byte) error {
	w, err := e.z.Create(name)
	if err == nil {
		_, err = w.Write(body)
	}
	return err
}

// keptFile is a file as the table of files names it.
type keptFile struct{ path, sum string }

// files writes the bodies of files, each under a name of its own.
func (e *exporter) files() (map[[2]string]keptFile, error) {
	out := map[[2]string]keptFile{}
	t, _ := store.TableNamed("files")
	for _, w := range e.m.Workshops {
		err := e.r.Rows(w.ID, t, t.Names(), func(row []any) error {
			id, kind, body := row[1].(string), row[2].(string), row[3].([]byte)
			sum := sha256.Sum256(body)
			f := keptFile{filesFolder + pathName(w.ID) + "/" + pathName(id) + ending(kind), hex.EncodeToString(sum[:])}
			out[[2]string{w.ID, id}] = f
			return e.add(f.path, body)
		})
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// pathName is a name that every file system takes, and different for different
// ids.
func pathName(id string) string {
	var b strings.Builder
	for _, c := range []byte(id) {
		if c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-' || c == '.' && b.Len() > 0 {
			b.WriteByte(c)
		} else {
			fmt.Fprintf(&b, "_%02x", c)
		}
	}
	return b.String()
}

func ending(kind string) string {
	return map[string]string{"image/jpeg": ".jpg", "image/png": ".png", "text/plain": ".txt", "application/pdf": ".pdf"}[kind]
}

// outColumns are the columns of a table as it goes out: of a file where its body
// is instead of the body.
func outColumns(t store.Table, accounts bool) (out []store.Column) {
	for _, c := range t.Columns {
		switch {
		case c.Type == store.BytesColumn:
			out = append(out, store.Column{Name: "path", Type: store.TextColumn}, store.Column{Name: "sha256", Type: store.TextColumn})
		case c.Secret && !accounts:
		default:
			out = append(out, c)
		}
	}
	return out
}

// table writes one table in one form.
func (e *exporter) table(t store.Table, form writer, bodies map[[2]string]keptFile) error {
	if t.Secret && !e.o.Accounts {
		return nil
	}
	out := outColumns(t, e.o.Accounts)
	w, err := e.z.Create(tablesFolder + t.Name + form.end())
	if err != nil {
		return err
	}
	var buffer bytes.Buffer
	form.begin(&buffer, out)
	tally := tableTally{Sums: map[string]int64{}}
	var read []string
	for _, c := range t.Columns {
		if c.Type != store.BytesColumn && (!c.Secret || e.o.Accounts) {
			read = append(read, c.Name)
		}
	}
	for _, k := range e.m.Workshops {
		err = e.r.Rows(k.ID, t, read, func(row []any) error {
			if t.Name == "files" {
				f := bodies[[2]string{row[0].(string), row[1].(string)}]
				row = append(slices.Clip(row), f.path, f.sum)
			}
			tally.add(out, row)
			if err = form.row(row); err != nil {
				return err
			}
			if buffer.Len() < 1<<16 { // csv keeps up to 4 kB more back
				return nil
			}
			_, err = buffer.WriteTo(w)
			return err
		})
		if err != nil {
			return err
		}
	}
	e.m.Tables[t.Name] = tally
	if err = form.err(); err != nil {
		return err
	}
	_, err = buffer.WriteTo(w)
	return err
}

func (t *tableTally) add(columns []store.Column, row []any) {
	t.Rows++
	for i, c := range columns {
		if n, is := row[i].(int64); is && c.Sum {
			t.Sums[c.Name] += n
		}
	}
}
