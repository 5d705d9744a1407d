package archive

import (
	"archive/zip"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"urdir/check"
	"urdir/internal/store"
)

// Bounds of what may come in: far above what a workshop has, far below what
// fills a disk.
const (
	maxLine     = 32 << 20 // bytes of a row
	maxBody     = 64 << 20 // bytes of a file
	maxTotal    = 16 << 30 // bytes unpacked
	maxEntries  = 2_000_000
	maxRatio    = 250     // unpacked over packed
	ratioBegins = 8 << 20 // bytes from which the ratio counts: short files pack as they like
)

// Import adds the workshops of an export to a database. They are first laid out
// beside it, brought up to this program's version and verified; then added, all
// or none. A workshop that is there already, or a name someone else signs in by,
// is refused. The error is all Faults there are.
func Import(ctx context.Context, db *store.DB, file string) (Report, error) {
	dir, err := os.MkdirTemp("", partPrefix)
	if err != nil {
		return Report{}, unwritable(os.TempDir(), err)
	}
	defer func() { _ = os.RemoveAll(dir) }() // nothing in it is needed any more
	staged := filepath.Join(dir, databaseName)
	m, err := stage(ctx, file, staged)
	if err != nil {
		return Report{}, err
	}
	from, err := store.Open(ctx, staged)
	if err != nil {
		return Report{}, err
	}
	if err = verify(ctx, from, file); err == nil {
		err = from.Read(ctx, func(r *store.Reader) error {
			if err = clashes(ctx, db, r, file); err != nil {
				return err
			}
			all, failed := r.Workshops()
			if failed != nil {
				return failed
			}
			return db.Fill(ctx, func(put store.Put) error { return r.CopyTo(put, all) })
		})
	}
	return backupManifest{Workshops: m.Workshops}.report(file), errors.Join(err, from.Close())
}

// clashes finds what is there already.
func clashes(ctx context.Context, db *store.DB, r *store.Reader, file string) error {
	var fs Faults
	there := map[string]bool{}
	is, err := db.Workshops(ctx)
	if err != nil {
		return err
	}
	for _, w := range is {
		there[w.ID] = true
	}
	come, err := r.Workshops()
	if err != nil {
		return err
	}
	accounts, _ := store.TableNamed("accounts")
	line := 0
	for _, w := range come {
		if there[w.ID] {
			_ = fs.wrong(file, 0, "workshop-there", check.Args{"name": w.Name}) // they are few
		}
		err := r.Rows(w.ID, accounts, []string{"login"}, func(row []any) error {
			line++
			login, _ := row[0].(string)
			a, err := db.AccountByLogin(ctx, login)
			if errors.Is(err, store.ErrNotFound) || err == nil && there[a.Workshop] && a.Workshop == w.ID {
				return nil
			}
			if err != nil {
				return err
			}
			return fs.wrong(tablesFolder+"accounts.jsonl", line, "import-login", check.Args{"login": login})
		})
		if err != nil && !errors.Is(err, errEnough) {
			return err
		}
	}
	return fs.err()
}

// stage lays the rows of an export out in a new SQLite file of the version they
// were written at.
func stage(ctx context.Context, file, staged string) (manifest, error) {
	in, closeFile, err := openExport(file)
	if err != nil {
		return manifest{}, err
	}
	defer closeFile()
	db, err := store.OpenAt(ctx, staged, in.m.Schema)
	if err != nil {
		return in.m, unwritable(staged, err)
	}
	err = db.Fill(ctx, func(put store.Put) error {
		in.put = put
		for _, t := range store.Tables {
			if err = in.table(t); err != nil {
				return err
			}
		}
		in.compare()
		return in.faults.err()
	})
	switch {
	case errors.Is(err, errEnough):
		err = in.faults
	case errors.Is(err, store.ErrAway): // a full disk
		err = unwritable(os.TempDir(), err)
	}
	return in.m, errors.Join(err, db.Close())
}

// incoming is an export that is being read.
type incoming struct {
	file    string
	m       manifest
	entries map[string]*zip.File
	put     store.Put
	faults  Faults
	tallies map[string]tableTally
	known   map[string]bool // workshops the manifest names
	read    int64           // bytes unpacked
}

// openExport opens a zip and refuses one that is no export, or not to be trusted.
func openExport(file string) (*incoming, func(), error) {
	z, err := zip.OpenReader(file)
	if err != nil {
		return nil, nil, fault(file, "export-unreadable", check.Args{"reason": err.Error()})
	}
	in := &incoming{file: file, entries: map[string]*zip.File{}, tallies: map[string]tableTally{}, known: map[string]bool{}}
	if err = errors.Join(in.index(&z.Reader), in.manifest(&z.Reader)); err != nil {
		_ = z.Close() // only read
		var fs, more Faults
		if u, is := err.(interface{ Unwrap() []error }); is { // both of them
			for _, e := range u.Unwrap() {
				if errors.As(e, &more) {
					fs = append(fs, more...)
				}
			}
			return nil, nil, fs
		}
		return nil, nil, err
	}
	return in, func() { _ = z.Close() }, nil
}

// index looks at the names and sizes in the zip.
func (in *incoming) index(z *zip.Reader) error {
	var fs Faults
	if len(z.File) > maxEntries {
		return fault(in.file, "export-bomb", check.Args{"name": in.file})
	}
	for _, f := range z.File {
		var err error
		_, twice := in.entries[f.Name]
		switch {
		case twice:
			err = fs.wrong(f.Name, 0, "export-entry-twice", nil)
		case strings.HasPrefix(f.Name, "/") || strings.ContainsAny(f.Name, "\\:\x00") || slices.Contains(strings.Split(f.Name, "/"), ".."):
			err = fs.wrong(in.file, 0, "export-entry-path", check.Args{"name": fmt.Sprintf("%.200q", f.Name)})
		case f.UncompressedSize64 > ratioBegins && f.UncompressedSize64/max(1, f.CompressedSize64) > maxRatio:
			err = fs.wrong(in.file, 0, "export-bomb", check.Args{"name": f.Name})
		default:
			in.entries[f.Name] = f
		}
		if err != nil {
			break
		}
	}
	return fs.err()
}

func (in *incoming) manifest(z *zip.Reader) error {
	if err := readJSON(z, manifestName, &in.m); err != nil {
		return fault(in.file, "export-unreadable", check.Args{"reason": err.Error()})
	}
	newest, err := store.Newest()
	switch {
	case err != nil:
		return err
	case in.m.Format == backupFormat:
		return fault(in.file, "export-is-backup", nil)
	case in.m.Format != exportFormat || in.m.Schema < 1:
		return fault(in.file, "export-unreadable", check.Args{"reason": fmt.Sprintf("it is %q", in.m.Format)})
	case in.m.Version > formatNumber || in.m.Schema > newest:
		return fault(in.file, "backup-newer", check.Args{"version": in.m.Schema, "known": newest})
	}
	for _, w := range in.m.Workshops {
		in.known[w.ID] = true
	}
	return nil
}

// open opens an entry for at most so many bytes; more is an error of reading.
func (in *incoming) open(name string, most int64) (io.ReadCloser, error) {
	f, ok := in.entries[name]
	if !ok {
		return nil, fmt.Errorf("%s is not there", name)
	}
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	return &bounded{r, most, in}, nil
}

// errBomb says that more comes out of an entry than may.
var errBomb = errors.New("too much is packed in it")

// bounded reads no more than it may of an entry, and of all entries together,
// whatever their sizes are said to be.
type bounded struct {
	io.ReadCloser
	left int64
	in   *incoming
}

func (b *bounded) Read(p []byte) (int, error) {
	n, err := b.ReadCloser.Read(p)
	b.left -= int64(n)
	b.in.read += int64(n)
	if b.left < 0 || b.in.read > maxTotal {
		return n, errBomb
	}
	return n, err
}

// body reads a file that a row names, and holds it to its checksum.
func (in *incoming) body(table string, line int, path, sum string) ([]byte, error) {
	if !strings.HasPrefix(path, filesFolder) {
		return nil, in.faults.wrong(table, line, "export-entry-path", check.Args{"name": fmt.Sprintf("%.200q", path)})
	}
	r, err := in.open(path, maxBody)
	if err != nil {
		return nil, in.faults.wrong(table, line, "export-file-missing", check.Args{"name": path})
	}
	defer func() { _ = r.Close() }() // only read
	body, err := io.ReadAll(r)
	if errors.Is(err, errBomb) {
		return nil, in.faults.wrong(table, line, "export-bomb", check.Args{"name": path})
	}
	if got := sha256.Sum256(body); err != nil || hex.EncodeToString(got[:]) != sum {
		return nil, in.faults.wrong(table, line, "export-file-changed", check.Args{"name": path})
	}
	return body, nil
}

// compare holds what was read to what the manifest says there is.
func (in *incoming) compare() {
	for _, name := range slices.Sorted(maps.Keys(in.m.Tables)) {
		want, got := in.m.Tables[name], in.tallies[name]
		at := tablesFolder + name + ".jsonl"
		if _, known := store.TableNamed(name); !known {
			_ = in.faults.wrong(at, 0, "export-table-unknown", check.Args{"name": name}) // they are few
			continue
		}
		if want.Rows != got.Rows {
			_ = in.faults.wrong(at, 0, "export-rows", check.Args{"rows": got.Rows, "wanted": want.Rows})
			continue
		}
		for _, column := range slices.Sorted(maps.Keys(want.Sums)) {
			if want.Sums[column] != got.Sums[column] {
				_ = in.faults.wrong(at, 0, "export-sum", check.Args{"column": column, "sum": got.Sums[column], "wanted": want.Sums[column]})
			}
		}
	}
}
